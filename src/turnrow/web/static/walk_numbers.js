// Temperatures on the phone: exact, in ninths of a millionth of a degree Celsius, as the book holds them.

const MICRO = 1_000_000;

/** What was typed, in ninths; null when it is no number. A comma is a point. */
export function ninths(text, unit) {
  const found = /^([-\u2212]?)(\d{1,4})(?:[.,](\d{0,6}))?$/.exec(text.trim());
  if (!found) return null;
  const size = Number(found[2]) * MICRO + Number((found[3] ?? "").padEnd(6, "0"));
  const micro = found[1] ? -size : size;
  return unit === "F" ? (micro - 32 * MICRO) * 5 : micro * 9;
}

/** As it is sent: a point, no sign of another alphabet, no point at the end. */
export function plain(text) {
  return text.trim().replace("\u2212", "-").replace(",", ".").replace(/\.$/, "");
}

export function sign(unit) {
  return unit === "F" ? "°F" : "°C";
}

/** Ninths as a number to read. */
export function shown(heat, unit, decimals = 1) {
  const degrees = unit === "F" ? heat / (5 * MICRO) + 32 : heat / (9 * MICRO);
  return degrees.toFixed(decimals).replace(/\.0$/, "").replace("-", "\u2212");
}

/** A last reading: as it was typed where that is the walker's own unit. */
export function lastText(last, unit) {
  return last.unit === unit ? last.text : `${shown(last.heat, unit)} ${sign(unit)}`;
}

/** Far from all that was expected there, or, with nothing expected, what no heap ever was. */
export function surprising(heat, spot, plan) {
  const near = [];
  if (spot?.last) near.push(spot.last.heat);
  if (spot?.expected) near.push(spot.expected.middle);
  if (heat < plan.coldest || heat > plan.hottest) return true;
  return near.length > 0 && near.every(one => Math.abs(heat - one) > plan.surprise);
}

/** What is said of a reading that is too hot, in the walker's own unit. */
export function hotWords(told, heat, station, unit) {
  const size = one => `${shown(one, unit)} ${sign(unit)}`;
  const fill = { "{heat}": size(heat), "{limit}": size(told.heat), "{station}": station };
  return told.text.replace(/\{(heat|limit|station)\}/g, name => fill[name]);
}

/** The gravest of what is to be said at once of a reading; undefined for most. */
export function warning(heat, plan) {
  return plan.warnings.find(one => heat >= one.heat);
}

/** "today", "yesterday", "3 May". */
export function dayWords(iso, now = new Date()) {
  const [year, month, day] = iso.split("-").map(Number);
  const ago = Math.round((Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) - Date.UTC(year, month - 1, day)) / 86_400_000);
  if (ago === 0) return "today";
  if (ago === 1) return "yesterday";
  return new Date(year, month - 1, day).toLocaleDateString("en-GB", { day: "numeric", month: "long" });
}

/** A moment of this phone's clock with the offset it had. */
export function iso(ms, offset) {
  const local = new Date(ms - offset * 60_000).toISOString().slice(0, 19);
  const size = Math.abs(offset);
  const two = n => String(n).padStart(2, "0");
  return `${local}${offset > 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

export function clockWords(ms) {
  const when = new Date(ms);
  return `${when.getHours()}:${String(when.getMinutes()).padStart(2, "0")}`;
}
