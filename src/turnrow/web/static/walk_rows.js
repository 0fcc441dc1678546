// The rows to choose from: what waits on this phone, and the walks kept on it for where there is no signal.

import { el, keepPages, name } from "./walk_dom.js";
import { numbers } from "./walk_end.js";
import { keepSending } from "./walk_send.js";
import { walks } from "./walk_store.js";

const list = document.querySelector("#unsent");
const SAID = { walking: "not ended: go on", sending: "not sent yet", refused: "turned away in part: look" };

async function draw() {
  const open = (await walks()).filter(one => SAID[one.state]);
  list.replaceChildren(...open.map(one => {
    const count = numbers(one).filter(number => !number.line).length;
    return el("li", {}, el("a", { class: "wide-key", href: one.here }, el("b", {}, name(one.row)),
      el("span", {}, `${count} number${count === 1 ? "" : "s"} on this phone, ${SAID[one.state]}`)));
  }));
}

const phone = document.querySelector("#phone");
draw().then(() => keepSending(draw), wrong => {
  phone.textContent = `The browser lets no page keep numbers (${wrong?.message ?? wrong}), as in a private window.`;
});
const rows = [...document.querySelectorAll("[data-walk]")].map(one => one.getAttribute("href"));
keepPages(["/walk", ...rows]).then(said => { phone.textContent = said; });
