// One station a screen: what it read last, what to expect, and keys for gloves.

import { bar, el, name } from "./walk_dom.js";
import { dayWords, lastText, ninths, shown, sign, surprising } from "./walk_numbers.js";

const LONGEST = 7;
const POINT = new Intl.NumberFormat().formatToParts(1.5).find(part => part.type === "decimal")?.value === "," ? "," : ".";
const MINUS = "\u2212";
const DIGITS = [..."789456123"];

export const depthWords = depth => (depth ? `${depth} cm deep` : "depth not said");

/** "Yesterday 60.1 °C. Expected 58 to 61, by its last readings." */
export function hint(spot, unit) {
  if (!spot?.last && !spot?.expected) return "Not read before.";
  const said = [];
  if (spot.last) {
    const day = dayWords(spot.last.day);
    said.push(`${day[0].toUpperCase()}${day.slice(1)} ${lastText(spot.last, unit)}.`);
  }
  if (spot.expected) {
    const { low, high, by } = spot.expected;
    const [from, to] = [shown(low, unit, 0), shown(high, unit, 0)];
    const span = from === to ? `about ${from}` : `${from} to ${to}`;
    said.push(`Expected ${span}, by ${by === "outlook" ? "the row’s outlook" : "its last readings"}.`);
  }
  return said.join(" ");
}

/** What is typed, and whether it has been asked about. `keep(text, confirmed)` once it stands. */
export class Typing {
  constructor(text, unit, spot, plan) {
    Object.assign(this, { text: text.replace("-", MINUS), unit, spot, plan, fresh: true, asking: "" });
  }

  /** A key; after a question the number that was asked about is gone with the first one. */
  press(key) {
    if (this.asking) this.anew();
    if (key === "erase") this.text = this.text.slice(0, -1);
    else if (key === MINUS) this.text = this.text.startsWith(MINUS) ? this.text.slice(1) : MINUS + this.text;
    else {
      if (this.fresh) this.text = "";
      if (/[.,]/.test(key) ? !/[.,]/.test(this.text) : this.text.length < LONGEST) this.text += key;
      if (/^[.,]/.test(this.text.replace(MINUS, ""))) this.text = this.text.replace(/[.,]/, "0$&");
    }
    this.fresh = false;
  }

  anew() {
    this.text = "";
    this.asking = "";
  }

  /** "" when it may be kept, else what to say first. A number is asked about once. */
  question() {
    const heat = ninths(this.text, this.unit);
    if (heat === null) return "Type the number first, or skip this station.";
    if (this.confirmed || !surprising(heat, this.spot, this.plan)) return "";
    this.asking = this.text;
    const last = this.spot?.last ? ` Last ${lastText(this.spot.last, this.unit)}.` : "";
    return `${this.text} ${sign(this.unit)}?${last} Look at the probe again.`;
  }

  get confirmed() {
    return this.asking !== "" && this.asking === this.text;
  }
}

/** The screen of one place. `does` holds keep(typing), back(), skip(). */
export function stationScreen(walk, place, at, of, typing, said, does) {
  const figure = el("output", { id: "figure", "aria-live": "polite", "aria-label": "Typed" });
  const ask = el("p", { class: "ask", role: "alert", hidden: true });
  // not where the last tap was: two taps on one place must never keep what was asked about
  const right = bar("", () => keepNow(), { id: "right", class: "bar right", hidden: true });
  const sub = el("p", { class: "sub", id: "sub" }, `${depthWords(place.depth)}. ${hint(typing.spot, walk.unit)}`.replace(/^./, one => one.toUpperCase()));
  const number = el("p", { class: "number" }, figure, el("span", {}, sign(walk.unit)));
  const keep = bar("Keep, next", () => tryKeep(), { id: "keep" });
  const draw = () => {
    figure.textContent = typing.text || "–";
    right.hidden = ask.hidden = !typing.asking;
    number.hidden = sub.hidden = !ask.hidden;
    right.textContent = `It is right: keep ${typing.text} ${sign(walk.unit)}`;
    keep.textContent = typing.asking ? "Type it anew" : at === of ? "Keep, to the end" : "Keep, next";
  };
  let keeping = false; // from the press until the phone has it, more presses change nothing
  const keepNow = async () => {
    if (keeping) return;
    keeping = true;
    keeping = await does.keep(typing);
  };
  const tryKeep = async () => {
    if (keeping) return;
    if (typing.asking) {
      typing.anew();
      draw();
      return;
    }
    const question = typing.question();
    draw();
    if (!question) return keepNow();
    ask.hidden = false;
    sub.hidden = true;
    ask.textContent = question;
  };
  const press = key => {
    if (keeping) return;
    typing.press(key);
    draw();
  };
  const key = (text, act, how = {}) => el("button", { type: "button", onclick: act, ...how }, text);
  const keypad = el("div", { class: "keypad", role: "group", "aria-label": "Keys" },
    DIGITS.map(one => key(one, () => press(one))),
    key(POINT, () => press(POINT), { "aria-label": "Decimal point" }),
    key("0", () => press("0")),
    key("erase", () => press("erase"), { class: "word" }),
    key("back", does.back, { class: "word" }),
    key(MINUS, () => press(MINUS), { "aria-label": "Minus" }),
    key("skip", does.skip, { class: "word" }));
  draw();
  return {
    parts: [
      el("p", { class: "state", role: "status" }, said),
      el("div", { class: "told station" },
        el("h1", {}, name(walk.row), " · station ", name(place.station),
          el("span", { class: "unseen" }, `, ${depthWords(place.depth)}, number `), " ", el("small", {}, `${at} of ${of}`)),
        sub, ask, number, right),
      keypad, keep],
    press, tryKeep,
    enter: () => typing.asking || tryKeep(), // a second Enter neither keeps nor clears what is asked about
  };
}

/** Keys of a keyboard on a station's screen. */
export function byKeyboard(event, screen, does) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const onButton = event.target instanceof HTMLButtonElement;
  if (/^[0-9.,]$/.test(event.key)) screen.press(event.key);
  else if (event.key === "-" || event.key === MINUS) screen.press(MINUS);
  else if (event.key === "Backspace") screen.press("erase");
  else if (event.key === "Enter" && !onButton) screen.enter();
  else if (event.key === "ArrowLeft") does.back();
  else return;
  event.preventDefault();
}
