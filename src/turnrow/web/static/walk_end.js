// The end of a walk: all that was read and not, then sent; what the book kept, or why not.

import { asked, bar, el, name, wideKey } from "./walk_dom.js";
import { clockWords, hotWords, ninths, sign, warning } from "./walk_numbers.js";
import { places } from "./walk_send.js";
import { depthWords } from "./walk_station.js";

const OFF_MS = 120_000; // clocks further apart than this are spoken of

export const numbers = walk => Object.values(walk.kept).filter(one => !one.skipped);

/** The places as keys: pressed, a place is read anew. `does`: place(n), station(name), send({who, probe}). */
export function summaryScreen(walk, does) {
  const who = asked("Your name", walk.who, { autocomplete: "name" });
  const more = asked("Another station", "");
  const alert = el("p", { class: "ask", role: "alert", hidden: true });
  const open = numbers(walk).filter(one => !one.line).length;
  const send = () => {
    const said = who.querySelector("input").value.trim();
    alert.hidden = Boolean(said);
    alert.textContent = "Write your name: the diary says who read it.";
    if (said) does.send(said);
  };
  return [
    el("p", { class: "state", role: "status" }, `${open} kept on this phone, not sent yet`),
    el("div", { class: "told" }, el("h1", {}, "Row ", name(walk.row), ", before it is sent"), unread(walk, " Press one to read it."), hot(walk)),
    el("ul", { class: "keys" }, places(walk).map((place, n) => el("li", {}, placeKey(walk, place, () => does.place(n))))),
    more,
    wideKey(() => does.station(more.querySelector("input").value.trim()), el("b", {}, "Add that station")),
    alert, who,
    bar(open ? `Send ${open} number${open === 1 ? "" : "s"}` : "Send it", send, { id: "send" })];
}

function placeKey(walk, place, press) {
  const one = walk.kept[place.key];
  const said = one && !one.skipped ? el("b", {}, `${one.text} ${sign(one.unit)}`) : unreadWords(one);
  const where = el("span", { class: "place" }, "Station ", name(place.station), place.depth ? `, ${place.depth} cm: ` : ": ", said);
  const kept = one?.line ? `Kept as line ${one.line}` : one?.confirmed ? "confirmed when asked" : "";
  if (one?.line) return el("p", { class: "wide-key" }, where, el("span", {}, kept));
  return wideKey(press, where, kept && el("span", {}, kept));
}

const unreadWords = one => (one?.reason ? `not read: ${one.reason}` : "not read");

function unread(walk, press = "") {
  const count = places(walk).filter(place => (walk.kept[place.key] ?? { skipped: true }).skipped).length;
  return count > 0 && el("p", {}, el("strong", {}, `${count} of ${places(walk).length} not read.`), ` What is not read is neither hot nor cold for the rule.${press}`);
}

/** The hottest reading that must be acted on, said once more. */
function hot(walk) {
  const read = places(walk)
    .map(place => ({ place, one: walk.kept[place.key] }))
    .filter(({ one }) => one && !one.skipped)
    .map(({ place, one }) => ({ place, one, heat: ninths(one.text, one.unit) }))
    .sort((a, b) => b.heat - a.heat)[0];
  const told = read && warning(read.heat, walk.plan);
  if (!told) return "";
  const text = hotWords(told, read.heat, read.place.station, walk.unit);
  return el("div", { class: "block" }, el("p", {}, el("strong", {}, `${told.head}. `), text));
}

/** `does`: again() tries now, back() to the numbers, clock() takes the book's clock. */
export function sentScreen(walk, phone, rowPage, does) {
  if (walk.state === "sending") return waiting(walk, phone, does);
  const refused = walk.parcels.filter(one => one.refusals.length);
  const kept = [...walk.parcels.flatMap(one => one.lines), ...(walk.ticked ?? [])];
  return [
    el("p", { class: "state", role: "status" }, refused.length ? "Turned away in part: see below" : "Kept in the book, nothing waits here"),
    el("div", { class: "told" },
      el("h1", {}, refused.length ? "Not all of it was kept" : "Kept in the book"),
      kept.length > 0 && el("p", { class: "lines" }, "Kept as", kept.map(line => el("a", { href: `/lines/${line}` }, `line ${line}`))),
      unread(walk), hot(walk), clock(walk),
      refused.map(one => refusal(one))),
    refused.some(one => one.refusals.some(r => /happened/.test(r.where))) && wideKey(does.clock, el("b", {}, "Take the book’s clock"), el("span", {}, "the times read are moved by the difference of the two clocks, and sent again")),
    refused.length ? bar("Back to the numbers", does.back) : bar("Next row", does.next),
    el("a", { class: "wide-key", href: rowPage }, el("b", {}, "The row")),
    el("a", { class: "wide-key", href: "/" }, "Today")];
}

function waiting(walk, phone, does) {
  const count = numbers(walk).filter(one => !one.line).length;
  const tried = walk.trouble ? `${walk.trouble} Tried at ${clockWords(walk.tried)}.` : "It is being sent.";
  return [
    el("p", { class: "state", role: "status" }, `${count} kept on this phone, not sent yet`),
    el("div", { class: "told" },
      el("h1", {}, "Kept on this phone"),
      el("p", { id: "tried" }, tried),
      el("p", {}, "It is sent by itself as soon as there is a signal while a page of the walk is open. Closed, it is sent the next time one is opened."),
      el("p", { id: "phone" }, phone), hot(walk)),
    el("a", { class: "wide-key", href: "/walk" }, el("b", {}, "Walk another row meanwhile")),
    bar("Try now", does.again, { id: "again" })];
}

function refusal(parcel) {
  const depth = parcel.entry.kind === "round" ? `The round, ${depthWords(parcel.entry.fields.depth_cm)}` : "The note of what was not read";
  return el("div", { class: "block" },
    el("p", {}, el("strong", {}, `${depth}, was turned away. `), "Its numbers are still on this phone."),
    el("ul", {}, parcel.refusals.map(one => el("li", {}, `${one.where}: got ${one.got}. ${one.do}`))));
}

function clock(walk) {
  if (walk.shift) return el("p", {}, "The times read were moved to the book’s clock.");
  const off = walk.clockOff ?? 0;
  if (Math.abs(off) < OFF_MS) return "";
  const minutes = Math.round(Math.abs(off) / 60_000);
  const much = minutes < 120 ? `${minutes} minutes` : `${Math.round(minutes / 60)} hours`;
  return el("p", { id: "clocks" }, `This phone’s clock is ${much} ${off > 0 ? "ahead of" : "behind"} the book’s. Both times are kept: when it was read, by this phone; when it was written, by the book.`);
}
