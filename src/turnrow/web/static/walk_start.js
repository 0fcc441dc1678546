// Before the first station, and what comes between two: unread ones, and what must be said at once.

import { asked, bar, el, name, wideKey } from "./walk_dom.js";
import { dayWords, hotWords, sign } from "./walk_numbers.js";
import { depthWords } from "./walk_station.js";

const REASONS = ["The probe is broken", "It cannot be reached", "There was no time"];
export const SMOKE = "Smoke or a burnt smell";
export const BROKEN = REASONS[0];
const OLD_MS = 12 * 3_600_000; // from then on the screen says how old what it took along is

/** Who, with what, at which depths. `does` holds begin(), unit(). */
export function startScreen(plan, me, unit, phone, does) {
  const ticks = plan.depths.map(depth => {
    const box = el("input", { type: "checkbox", value: depth, checked: plan.usual.includes(depth) });
    return el("label", { class: "tick" }, box, depthWords(depth));
  });
  const other = asked("Another depth, cm", "", { inputmode: "decimal", maxlength: "8" });
  const station = plan.spots.some(spot => spot.last) || plan.stations.length > 1 ? "" : asked("The first station", plan.stations[0]);
  const who = asked("Your name", me.who || plan.who, { autocomplete: "name" });
  const probe = asked("Probe, if known", me.probe);
  const alert = el("p", { class: "ask", role: "alert", hidden: true });
  const typed = label => label.querySelector("input").value.trim();
  const begin = () => {
    const depths = ticks.map(one => one.querySelector("input")).filter(box => box.checked).map(box => box.value);
    const more = typed(other).replace(",", ".");
    const wrong = !typed(who) ? "Write your name: the diary says who read it."
      : more && !/^\d{1,4}(\.\d{1,2})?$/.test(more) ? "Write the other depth as a number of cm."
      : !depths.length && !more ? "Choose a depth." : "";
    alert.hidden = !wrong;
    alert.textContent = wrong;
    if (wrong) return;
    const all = [...new Set([...depths, ...(more ? [more] : [])])].sort((a, b) => Number(a) - Number(b));
    const stations = station ? [typed(station) || plan.stations[0]] : plan.stations;
    does.begin({ who: typed(who), probe: typed(probe), depths: all, stations });
  };
  return [
    el("div", { class: "told" },
      el("h1", {}, "Walk ", name(plan.row)),
      el("p", {}, `${plan.stations.length} station${plan.stations.length > 1 ? "s" : ""}. Stay on the ground, upwind of the steam: steam from a probe hole burns.`),
      plan.read_today && el("p", {}, el("strong", {}, "Read today already: "), name(plan.read_today), ". Both rounds will be kept."),
      Date.now() - Date.parse(plan.made) > OLD_MS && el("p", {}, `What it says of earlier readings was taken along ${dayWords(plan.made.slice(0, 10))}; there may be newer ones.`),
      el("p", { id: "phone" }, phone)),
    alert,
    el("fieldset", {}, el("legend", {}, "Depths, all in one pass"), ticks, other),
    station, who, probe,
    wideKey(does.unit, el("b", {}, sign(unit)), ` Press for ${sign(unit === "F" ? "C" : "F")}`),
    el("a", { class: "wide-key", href: "/walk" }, "Another row"),
    bar("Start", begin, { id: "start" })];
}

/** Nothing is to be read. */
export function endedScreen(plan) {
  return [
    el("div", { class: "told" }, el("h1", {}, "Row ", name(plan.row), " has ended"), el("p", {}, "There is nothing to read.")),
    el("a", { class: "wide-key", href: "/walk" }, "Another row")];
}

/** A walk of another day that nobody ended. */
export function oldScreen(walk, count, does) {
  const day = dayWords(new Date(walk.started).toISOString().slice(0, 10));
  return [
    el("div", { class: "told" },
      el("h1", {}, "A walk of ", day, " is not ended"),
      el("p", {}, `Row ${walk.row}, ${count} number${count === 1 ? "" : "s"} kept on this phone.`)),
    wideKey(does.end, el("b", {}, "Send what it has"), el("span", {}, "with the time they were read; the other stations stay unread")),
    bar("Go on with it", does.on)];
}

/** Why a station stays unread. */
export function skipScreen(walk, place, does) {
  const own = asked("Another reason", "", { maxlength: "120" });
  return [
    el("div", { class: "told" },
      el("h1", {}, "Leave station ", name(place.station), " unread?"),
      el("p", {}, `Row ${walk.row}, ${depthWords(place.depth)}. What is not read is neither hot nor cold for the rule.`)),
    [...REASONS, SMOKE].map(reason => wideKey(() => does.skip(reason), el("b", {}, reason))),
    own,
    wideKey(() => does.skip(own.querySelector("input").value.trim()), el("b", {}, "Skip it"), el("span", {}, "with that reason, or with none")),
    bar("Back to the number", does.back)];
}

/** What is said of a reading before anything else is asked. */
export function hotScreen(walk, place, heat, told, does) {
  return stopScreen(told.head, hotWords(told, heat, place.station, walk.unit), told.why, "The number is kept on this phone.", does);
}

export function smokeScreen(plan, does) {
  return stopScreen("Stop, and call", plan.smoke, plan.warnings[0].why, "The station stays unread.", does);
}

function stopScreen(head, text, why, kept, does) {
  return [
    el("div", { class: "told", role: "alert" }, el("h1", {}, head), el("p", { class: "loud" }, text), el("p", {}, why), el("p", {}, kept)),
    el("div", { class: "ends" }, bar("End the walk here", does.end), bar("Understood, go on", does.on))];
}

/** Another probe for the rest of the walk. */
export function probeScreen(walk, place, does) {
  const probe = asked("The other probe, if it has a name", "");
  return [
    el("div", { class: "told" },
      el("h1", {}, "Station ", name(place.station), " stays unread"),
      el("p", {}, "A broken probe’s numbers are worse than none. Take another probe, and read this station again if you can.")),
    probe,
    wideKey(() => does.again(probe.querySelector("input").value.trim()), el("b", {}, "Read it with another probe")),
    wideKey(() => does.on(probe.querySelector("input").value.trim()), el("b", {}, "Next station, with another probe")),
    bar("End the walk here", does.end)];
}
