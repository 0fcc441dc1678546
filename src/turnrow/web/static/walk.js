// The walk of one row. Each number is on the phone's disk before the screen goes on.

import { bar, el, keepPages, show } from "./walk_dom.js";
import { numbers, sentScreen, summaryScreen } from "./walk_end.js";
import { ninths, sign, warning } from "./walk_numbers.js";
import { keepSending, places, seal } from "./walk_send.js";
import { BROKEN, SMOKE, endedScreen, hotScreen, oldScreen, probeScreen, skipScreen, smokeScreen, startScreen } from "./walk_start.js";
import { Typing, byKeyboard, stationScreen } from "./walk_station.js";
import { add, change, newId, person, remember, walks } from "./walk_store.js";

const main = document.querySelector("#walk");
const plan = JSON.parse(main.dataset.plan);
let walk;
let me = {};
let phone = "";
let said = "";
let mending = false; // one place was chosen at the end, and back to the end it goes
let keyboard = () => {};
let goSending = () => {};

/** Whatever fails to be kept is said, and the screen stays where it is. */
async function keeping(act) {
  try {
    return await act();
  } catch (wrong) {
    const told = el("p", { class: "ask", role: "alert" }, `This phone could not keep it (${wrong?.message ?? wrong}). Write it on paper too; press again.`);
    main.prepend(told);
    return undefined;
  }
}

async function save(how) {
  const kept = await keeping(() => change(walk.id, how));
  if (kept) walk = kept;
  return Boolean(kept);
}

function start() {
  keyboard = () => {};
  const unit = me.unit ?? plan.unit;
  show(main, "", startScreen(plan, me, unit, phone, {
    unit: () => keeping(async () => {
      me = { ...me, unit: unit === "F" ? "C" : "F" };
      await remember(me);
      start();
    }),
    begin: chosen => keeping(async () => {
      me = { ...me, who: chosen.who, probe: chosen.probe };
      await remember(me);
      walk = await add({ id: newId(), row: plan.row, plan, unit, started: Date.now(), at: 0, state: "walking", kept: {}, parcels: [], here: main.dataset.here, ...chosen });
      station();
    }),
  }));
}

function station() {
  const every = places(walk);
  if (walk.at >= every.length) return summary();
  const place = every[walk.at];
  const before = walk.kept[place.key];
  const typing = new Typing(before && !before.skipped && before.unit === walk.unit ? before.text : "", walk.unit, spotOf(place), walk.plan);
  const waits = numbers(walk).filter(one => !one.line).length;
  const status = `${said ? `${said} · ` : ""}${waits} not sent${said ? "" : " yet"}`;
  const does = {
    keep: one => keep(place, one),
    back: () => (walk.at && !mending ? goTo(walk.at - 1) : summary()),
    skip: () => skip(place),
  };
  const screen = stationScreen(walk, place, walk.at + 1, every.length, typing, status, does);
  keyboard = event => byKeyboard(event, screen, does);
  show(main, "", screen.parts);
}

const after = () => (mending ? places(walk).length : walk.at + 1);
const spotOf = place => walk.plan.spots.find(one => one.station === place.station && one.depth === place.depth);
const entryNow = more => ({ at: Date.now(), offset: new Date().getTimezoneOffset(), ...more });

async function goTo(at, told = "") {
  said = told;
  if (await save(mine => { mine.at = at; })) station();
}

async function keep(place, typing) {
  const one = entryNow({ text: typing.text, unit: walk.unit, probe: walk.probe, confirmed: typing.confirmed });
  const next = after();
  if (!await save(mine => { mine.kept[place.key] = one; mine.at = next; })) return false;
  said = `Station ${place.station}: ${one.text} ${sign(one.unit)} kept`;
  const heat = ninths(one.text, one.unit);
  const told = warning(heat, walk.plan);
  if (told) {
    keyboard = () => {};
    show(main, "stop", hotScreen(walk, place, heat, told, { end: summary, on: station }));
  } else station();
  return true;
}

function skip(place) {
  keyboard = () => {};
  const next = after();
  show(main, "", skipScreen(walk, place, {
    back: station,
    skip: async reason => {
      const one = entryNow({ skipped: true, reason });
      if (!await save(mine => { mine.kept[place.key] = one; mine.at = next; })) return;
      said = `Station ${place.station} stays unread`;
      if (reason === SMOKE) show(main, "stop", smokeScreen(walk.plan, { end: summary, on: station }));
      else if (reason === BROKEN) otherProbe(place);
      else station();
    },
  }));
}

function otherProbe(place) {
  const here = places(walk).findIndex(one => one.key === place.key);
  const take = at => async probe => {
    if (await save(mine => Object.assign(mine, { probe, at }))) station();
  };
  show(main, "", probeScreen(walk, place, { again: take(here), on: take(walk.at), end: summary }));
}

function summary() {
  keyboard = () => {};
  mending = false;
  show(main, "", summaryScreen(walk, {
    place: n => {
      mending = true;
      goTo(n);
    },
    station: async name => {
      if (!name || walk.stations.includes(name)) return;
      const at = places(walk).length;
      if (await save(mine => { mine.stations.push(name); mine.at = at; })) station();
    },
    send: who => keeping(async () => {
      await change(walk.id, mine => { mine.who = who; });
      walk = await seal(walk.id);
      sent();
      goSending();
    }),
  }));
}

function sent() {
  keyboard = () => {};
  const back = how => async () => {
    if (await save(mine => { how(mine); mine.state = "walking"; mine.at = places(mine).length; })) summary();
  };
  show(main, "", sentScreen(walk, phone, main.dataset.rowPage, {
    again: () => goSending(),
    back: back(() => {}),
    clock: back(mine => { mine.shift = -mine.clockOff; }),
    next: () => { location.href = "/walk"; },
  }));
}

/** Where this row's walk stands on this phone. */
function goOn() {
  if (!walk) return plan.ended ? show(main, "", endedScreen(plan)) : start();
  if (walk.state !== "walking") return sent();
  const today = new Date().toDateString() === new Date(walk.started).toDateString();
  if (today) return station();
  return show(main, "", oldScreen(walk, numbers(walk).length, { on: station, end: summary }));
}

function heard(one) {
  if (one.id !== walk?.id) return;
  walk = one;
  sent();
}

document.addEventListener("keydown", event => {
  if (!(event.target instanceof HTMLInputElement)) keyboard(event);
});

async function begin() {
  const mine = (await walks()).filter(one => one.row === plan.row && one.state !== "done");
  me = await person();
  walk = mine.sort((a, b) => b.started - a.started)[0];
  goOn();
  goSending = keepSending(heard);
  phone = await keepPages([main.dataset.here, "/walk"]);
  document.querySelector("#phone")?.replaceChildren(phone);
}

begin().catch(wrong => {
  show(main, "", el("div", { class: "told" }, el("h1", {}, "This phone keeps nothing"),
    el("p", {}, `The browser lets no page keep numbers (${wrong?.message ?? wrong}), as in a private window. Use the form for rounds, with a signal.`)),
    bar("To the form", () => { location.href = `/write/round?row=${encodeURIComponent(plan.row)}`; }));
});
