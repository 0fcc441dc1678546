// Building a screen: plain elements, text only ever as text.

/** An element; `how` are attributes, or `on...` what happens; empty ones are left out. */
export function el(tag, how = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(how)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== undefined && value !== "") made.setAttribute(name, value);
  }
  made.append(...inside.flat(Infinity).filter(one => one !== "" && one !== undefined && one !== null && one !== false));
  return made;
}

export const name = text => el("bdi", {}, text);

export function bar(text, onclick, how = {}) {
  return el("button", { type: "button", class: "bar", onclick, ...how }, text);
}

export function wideKey(onclick, ...inside) {
  return el("button", { type: "button", class: "wide-key", onclick }, ...inside);
}

export function asked(label, value, how = {}) {
  return el("label", { class: "asked" }, label, el("input", { value, autocomplete: "off", maxlength: "40", ...how }));
}

/** Show a screen; its heading is read out, and the keyboard goes on from there. */
export function show(main, how, ...inside) {
  main.className = how;
  main.replaceChildren(...inside.flat(Infinity).filter(Boolean));
  const heading = main.querySelector("h1");
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
  scrollTo(0, 0);
}

/** Keep the walk's pages on the phone, where the browser allows it; says in words whether they are. */
export async function keepPages(addresses) {
  if (!("serviceWorker" in navigator)) {
    return "Leave this page open: over an address without https the browser does not keep pages. The numbers are kept on this phone all the same.";
  }
  try {
    await navigator.serviceWorker.register("/walk-worker.js", { scope: "/walk" });
    const ready = await navigator.serviceWorker.ready;
    const said = await new Promise((done, fail) => {
      const line = new MessageChannel();
      line.port1.onmessage = got => done(got.data);
      setTimeout(() => fail(new Error("no answer")), 300_000);
      ready.active.postMessage({ keep: addresses }, [line.port2]);
    });
    await navigator.storage?.persist?.();
    return said.kept === addresses.length
      ? "Kept on this phone: the walk opens without a signal."
      : `Kept on this phone: ${said.kept} of ${addresses.length} walks; the others were not reached.`;
  } catch {
    return "This phone did not keep the page: leave it open. The numbers are kept on this phone all the same.";
  }
}
