// From what was kept on the phone to what is sent: a round for each depth, once, however often it is sent.

import { iso, plain } from "./walk_numbers.js";
import { change, newId, remove, walks } from "./walk_store.js";

const EVERY_MS = 15_000;
const WAIT_MS = 20_000;
const MONTH_MS = 30 * 86_400_000;
const DEVICE = "phone walk";

export const keyOf = (station, depth) => `${station}\n${depth}`;

/** Station by station, each at every depth. */
export function places(walk) {
  return walk.stations.flatMap(station => walk.depths.map(depth => ({ station, depth, key: keyOf(station, depth) })));
}

const listable = name => !/[,;]/.test(name);
const depthWords = depth => (depth ? ` at ${depth} cm` : "");

/** The entries of all that the book has not answered for yet. Called once a sending; then they stand. */
export function parcelsOf(walk) {
  const every = places(walk).map(place => ({ ...place, ...walk.kept[place.key] }));
  const open = every.filter(one => !one.line);
  const groups = new Map();
  for (const one of open.filter(one => !one.skipped)) {
    const name = [one.depth, one.unit, one.probe].join("\n");
    groups.set(name, [...(groups.get(name) ?? []), one]);
  }
  const parcels = [];
  for (const depth of walk.depths) {
    const unread = open.filter(one => one.skipped && one.depth === depth);
    const rounds = [...groups.values()].filter(group => group[0].depth === depth);
    if (!rounds.length && unread.length) rounds.push([]);
    rounds.forEach((group, n) => parcels.push(roundOf(walk, depth, group, n ? [] : unread)));
  }
  const why = every.filter(one => one.skipped && one.reason && !one.noted);
  if (why.length) {
    const said = why.map(one => `station ${one.station}${depthWords(one.depth)}: ${one.reason}`).join("; ");
    parcels.push(parcel(walk, "note", { row: walk.row, text: `Not read on the walk: ${said}.` }, why));
  }
  return parcels;
}

function roundOf(walk, depth, read, unread) {
  const fields = { row: walk.row, unit: read[0]?.unit ?? walk.unit };
  for (const one of read) fields[`station.${one.station}`] = plain(one.text);
  if (depth) fields.depth_cm = depth;
  if (read[0]?.probe) fields.probe = read[0].probe;
  const skipped = unread.map(one => one.station).filter(listable);
  const confirmed = read.filter(one => one.confirmed).map(one => one.station).filter(listable);
  if (skipped.length) fields.skipped = skipped.join(", ");
  if (confirmed.length) fields.confirmed = confirmed.join(", ");
  return parcel(walk, "round", fields, [...read, ...unread], read.length ? read : unread);
}

/** It happened when the last of `timed` was typed. */
function parcel(walk, kind, fields, of, timed = of) {
  const last = timed.reduce((a, b) => (b.at > a.at ? b : a));
  const id = newId();
  const happened = iso(last.at + (walk.shift ?? 0), last.offset);
  return { keys: of.map(one => one.key), entry: { kind, fields, who: walk.who, id, device: DEVICE, happened }, lines: [], refusals: [] };
}

/** Ready to be sent: places nobody came to are unread, and the entries get their ids. */
export function seal(id) {
  return change(id, walk => {
    if (walk.state !== "walking") return; // pressed twice, or on another page: it has its ids
    const now = { at: Date.now(), offset: new Date().getTimezoneOffset() };
    for (const { key } of places(walk)) walk.kept[key] ??= { skipped: true, reason: "", ...now };
    walk.parcels = [...walk.parcels.filter(one => one.lines.length), ...parcelsOf(walk)];
    walk.state = walk.parcels.some(one => !one.lines.length) ? "sending" : "done";
    walk.trouble = "";
  });
}

/** One try. The walk as it is afterwards; without an answer it stays as it was and says why. */
export async function send(walk) {
  const open = walk.parcels.filter(one => !one.lines.length);
  const body = JSON.stringify({ row: walk.row, entries: open.map(one => one.entry) });
  let answer;
  try {
    const headers = { "Content-Type": "application/json" };
    const got = await fetch("/api/walk", { method: "POST", headers, body, signal: AbortSignal.timeout(WAIT_MS) });
    answer = got.headers.get("content-type")?.startsWith("application/json") ? await got.json() : {};
    if (got.status === 422 && answer.refusals) { // turned away as a whole: it holds for each of them
      const answers = open.map(one => ({ id: one.entry.id, lines: [], refusals: answer.refusals }));
      answer = { answers, ticked: [], now: got.headers.get("date") };
    }
    if (!answer.answers) return trouble(walk.id, notTaken(got.status, answer.refusals?.[0]));
  } catch {
    return trouble(walk.id, "No signal, or the book was not reached.");
  }
  return change(walk.id, mine => settle(mine, answer));
}

function notTaken(status, why) {
  return why ? `The book could not take it now: ${why.got}. ${why.do}` : `The book could not take it now (${status}).`;
}

function trouble(id, said) {
  return change(id, walk => {
    if (walk.state === "sending") Object.assign(walk, { trouble: said, tried: Date.now() });
  });
}

function settle(walk, answer) {
  if (walk.state !== "sending") return; // another page had the answer first
  const told = new Map(answer.answers.map(one => [one.id, one]));
  for (const one of walk.parcels) {
    const mine = told.get(one.entry.id);
    if (!mine) continue;
    Object.assign(one, { lines: mine.lines, refusals: mine.refusals });
    if (!mine.lines.length) continue;
    for (const key of one.keys) walk.kept[key][one.entry.kind === "note" ? "noted" : "line"] = mine.lines[0];
  }
  walk.ticked = answer.ticked.length ? answer.ticked : (walk.ticked ?? []);
  walk.clockOff = Date.now() - Date.parse(answer.now);
  walk.state = walk.parcels.some(one => one.refusals.length) ? "refused" : "done";
  walk.trouble = "";
  walk.done = Date.now();
}

/** What the book has had for a month is not kept here as well. */
async function tidy(every) {
  const old = every.filter(one => one.state === "done" && Date.now() - one.done > MONTH_MS);
  for (const one of old) await remove(one.id);
}

/** Send all that waits on this phone, now and whenever there may be a signal; `told` hears of each try. */
export function keepSending(told) {
  let busy = false;
  const go = async () => {
    if (busy) return;
    busy = true;
    try {
      for (const walk of (await walks()).filter(one => one.state === "sending")) told(await send(walk));
    } finally {
      busy = false;
    }
  };
  addEventListener("online", go);
  document.addEventListener("visibilitychange", () => document.hidden || go());
  setInterval(go, EVERY_MS);
  walks().then(tidy);
  go();
  return go;
}
