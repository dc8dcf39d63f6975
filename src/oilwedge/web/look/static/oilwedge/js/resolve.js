// What typed text means, as the server resolves it: the same cases are run here and there.
// Numbers are kept exactly, as whole numbers of a power of ten.

const UNITS = {
  mm: { metres: 1e-3, names: ["mm", "millimetre", "millimetres", "millimeter", "millimeters"] },
  in: { metres: 0.0254, names: ["in", "inch", "inches", '"', "''"] },
  "µm": { metres: 1e-6, names: ["um", "micron", "microns", "mu", "mum", "u", "micrometre", "micrometres", "micrometer", "micrometers"] },
  thou: { metres: 2.54e-5, names: ["thou", "mil", "mils", "thous", "thousandth", "thousandths", "th"] },
  m: { metres: 1, names: ["m", "metre", "metres", "meter", "meters"] },
  cm: { metres: 0.01, names: ["cm", "centimetre", "centimetres", "centimeter", "centimeters"] },
  ft: { metres: 0.3048, names: ["ft", "foot", "feet"] },
};
const COUNTED = ["mm", "in"];
const LARGE = { mm: "mm", in: "in", "µm": "mm", thou: "in" };
const DEVIATION_SHARE = 0.1;
const ABSOLUTE_BAND_M = 2e-3;
const MINUS = "−";
const NUMBER = /^([+-]?)\s*(?:(?:([0-9]+)\s+)?([0-9]+)\s*\/\s*([0-9]+)|((?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?))/;
const BOUND = /^(<=|>=|=<|=>|<|>|≤|≥|at most|at least|less than|more than|under|over|up to)\s*/i;
const AT_MOST = ["<", "<=", "=<", "≤", "at most", "less than", "under", "up to"];
const WIDTH = /^(?:(?:width|w)\s*[:=]?\s*(.*)|(.*\S)\s*wide)$/i;
const WIDER = /^(it is |is )?wider than (the |its )?(widest|largest|last) (bar|mark)$/;
const NOT_FLAT = /^((it is |is )?(not|un)[ -]?(flattened|squeezed|touched)( at all)?|narrower than (the |its )?(narrowest|smallest|first) (bar|mark))$/;

export class Fault extends Error {}
export class SignNeeded extends Fault {}

// ---- exact numbers: { n: BigInt, p: decimals } is n / 10^p ----
const ten = (power) => 10n ** BigInt(power);
const dec = (text) => {
  const [number, exponent] = text.replace(",", ".").toLowerCase().split("e");
  const [whole, part = ""] = number.split(".");
  const shift = part.length - Number(exponent || 0);
  const digits = BigInt((whole || "0") + part);
  return shift >= 0 ? { n: digits, p: shift } : { n: digits * ten(-shift), p: 0 };
};
const at = (one, p) => (p >= one.p ? one.n * ten(p - one.p) : one.n / ten(one.p - p));
const both = (one, other, act) => {
  const p = Math.max(one.p, other.p);
  return { n: act(at(one, p), at(other, p)), p };
};
const plus = (one, other) => both(one, other, (a, b) => a + b);
const minus = (one, other) => both(one, other, (a, b) => a - b);
const abs = (one) => ({ n: one.n < 0n ? -one.n : one.n, p: one.p });
const less = (one, other) => minus(one, other).n < 0n;
const equal = (one, other) => minus(one, other).n === 0n;
const times = (one, other) => ({ n: one.n * other.n, p: one.p + other.p });
const rounded = (one, p) => {
  if (one.p <= p) return { n: at(one, p), p };
  const cut = ten(one.p - p);
  const size = abs(one).n;
  const half = (size + cut / 2n) / cut;
  return { n: one.n < 0n ? -half : half, p };
};
const text = (one) => {
  const digits = abs(one).n.toString().padStart(one.p + 1, "0");
  const sign = one.n < 0n ? "-" : "";
  return one.p ? `${sign}${digits.slice(0, -one.p)}.${digits.slice(-one.p)}` : sign + digits;
};
const number = (one) => Number(text(one));
const metresOf = (one, unit) => {
  // whole divisors keep mm and µm exact; inches are exact to the last digit that is judged
  const value = number(one);
  if (unit === "mm") return value / 1000;
  if (unit === "µm") return value / 1e6;
  return value * UNITS[unit].metres;
};

// ---- text ----
export function cleaned(typed) {
  const half = typed.replace(/[！-～]/g, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0));
  return half.replace(/　/g, " ").replace(/[\p{Cc}\p{Cf}]/gu, (sign) => (sign === "\t" ? sign : "")).trim();
}
function plainNumbers(words) {
  return [...words].map((sign) => {
    const plain = sign.normalize("NFKC");
    if (plain !== sign && plain.includes("⁄")) return ` ${plain.replace("⁄", "/")} `;
    return "−–‒﹣－".includes(sign) ? "-" : /\s/.test(sign) ? " " : sign;
  }).join("").trim();
}
function unitNamed(words) {
  const squeezed = words.replace(/[″”]/g, '"').normalize("NFKC").replace(/μ/g, "u").replace(/′′/g, '"').replace(/[\s·⋅*.^]+/g, "");
  const exact = (want) => Object.keys(UNITS).find((name) => UNITS[name].names.includes(want));
  return exact(squeezed) || exact(squeezed.toLowerCase());
}
function quantity(words, unit) {
  if (words.length > 100) throw new Fault("No more than 100 characters are read.");
  const plain = plainNumbers(words);
  if (!plain) throw new Fault("There is no value; type one.");
  const match = NUMBER.exec(plain);
  const none = "A number is needed, such as 47.97, 47,97 or 1 1/2; write it without thousands separators.";
  if (!match) throw new Fault(none);
  const rest = plain.slice(match[0].length).trim();
  if (/^[.,]/.test(rest) || /^[02-9]/.test(rest)) throw new Fault(none);
  const value = valueOf(match);
  let own = unit;
  if (rest) {
    own = unitNamed(rest);
    if (!own) throw new Fault(`'${rest}' is no unit that is known; here a length is needed, in mm, in, µm or thou.`);
  }
  if (!own) throw new Fault("The unit is missing; choose the one you type in.");
  return { value, unit: own };
}
function valueOf(match) {
  const sign = match[1] === "-" ? -1n : 1n;
  if (match[5] !== undefined) {
    const found = dec(match[5]);
    return { n: sign * found.n, p: found.p };
  }
  const under = BigInt(match[4]);
  if (under === 0n) throw new Fault("A fraction cannot be divided by 0.");
  const over = BigInt(match[2] || 0) * under + BigInt(match[3]);
  let p = 0;
  while (p < 24 && (over * ten(p)) % under !== 0n) p += 1;
  return { n: (sign * over * ten(p)) / under, p };
}

// ---- reading a value ----
function readValue(words, unit, situation) {
  const folded = words.toLowerCase().split(/\s+/).join(" ");
  if (WIDER.test(folded) || NOT_FLAT.test(folded)) return stripWords(WIDER.test(folded), situation);
  const mark = BOUND.exec(words);
  const bound = mark ? (AT_MOST.includes(mark[1].toLowerCase()) ? "at most" : "at least") : "is";
  let rest = mark ? words.slice(mark[0].length).trim() : words;
  const wide = WIDTH.exec(rest);
  if (wide) {
    rest = (wide[1] || wide[2] || "").trim();
    if (bound !== "is") throw new Fault("A width is one number; for a bound give the clearance, such as <0.025 mm.");
  }
  const found = quantity(rest, unit);
  const signed = /^[+\-−–]/.test(rest);
  if (signed && bound !== "is") throw new Fault("A bound has no sign; write the size or clearance itself.");
  return { ...found, signed, bound, width: Boolean(wide) };
}
function stripWords(wider, situation) {
  if (!situation.strip_m) throw new Fault("These words need a strip whose range is known; choose the strip, or write <0.025 mm or >0.10 mm.");
  const value = situation.strip_m[wider ? 0 : 1];
  return { value: dec(String(Number((value * 1000).toFixed(9)))), unit: "mm", signed: false, bound: wider ? "at most" : "at least", width: false };
}

// ---- resolving ----
export function resolve(typed, unit, situation) {
  const words = cleaned(typed);
  if (!words) throw new Fault("There is no value; type one.");
  const bare = /^([+\-−–]?)\s*([0-9]{1,9})$/.exec(words);
  if (bare && unit in situation.finest && situation.positive) {
    const found = fromDigits(bare, unit, situation);
    if (found) return { text: typed, ...found };
  }
  const value = readValue(words, unit, situation);
  const exact = value.bound === "is" && !value.width;
  if (situation.zeroed && exact && !value.signed && value.value.n !== 0n) {
    throw new SignNeeded(`${situation.label}: the gauge was zeroed and can read either way; put + in front for larger than zero, - for smaller.`);
  }
  const form = formOf(value, situation);
  const how = form === "deviation from nominal" ? form : "as typed";
  return { text: typed, ...finished(value, form, how, [], situation) };
}
function formOf(value, situation) {
  if (value.width) return "width of the flattened strip";
  if (value.signed && situation.positive) {
    const nominal = situation.nominal.mm;
    const limit = nominal ? DEVIATION_SHARE * Number(nominal) * 1e-3 : ABSOLUTE_BAND_M;
    if (Math.abs(metresOf(value.value, value.unit)) < limit) return "deviation from nominal";
  }
  return "absolute";
}
const holds = (band, metres) => band[0] <= metres && metres <= band[1];
function fromDigits(bare, unit, situation) {
  if (!(unit in situation.nominal)) return null;
  const nominal = dec(situation.nominal[unit]);
  const finest = dec(situation.finest[unit]);
  const [, sign, digits] = bare;
  if (sign) return counted(sign, digits, nominal, finest, unit, situation);
  const plain = dec(digits);
  const step = times(finest, { n: ten(digits.length), p: 0 });
  const [near, far] = endingIn(digits, nominal, finest, step);
  const off = abs(minus(near, nominal));
  const clear = !less(step, times(off, { n: 3n, p: 0 }));
  const whole = (value) => ({ value, unit, signed: false, bound: "is", width: false });
  if (holds(situation.band_m, metresOf(plain, unit))) {
    const other = clear && !equal(near, plain) ? [`${text(near)} ${unit}`] : [];
    return finished(whole(plain), "absolute", "as typed", other, situation);
  }
  if (!holds(situation.band_m, metresOf(near, unit))) return null;
  if (!clear) {
    const [low, high] = less(near, far) ? [near, far] : [far, near];
    throw new Fault(`${situation.label}: this could be ${text(low)} ${unit} or ${text(high)} ${unit}; type more digits.`);
  }
  return finished(whole(near), "absolute", "last digits", [], situation);
}
function counted(sign, digits, nominal, finest, unit, situation) {
  if (!COUNTED.includes(unit) || !situation.deviations) return null;
  const whole = { n: (sign === "+" ? 1n : -1n) * BigInt(digits), p: 0 };
  const amount = times(whole, finest);
  if (!less(times(abs(amount), { n: 10n, p: 0 }), nominal)) return null;
  const other = whole.n !== 0n && holds(situation.deviation_band_m, metresOf(whole, unit)) ? [sumText(whole, unit, situation)] : [];
  const value = { value: amount, unit, signed: true, bound: "is", width: false };
  return finished(value, "deviation from nominal", "deviation from nominal", other, situation);
}
function endingIn(digits, nominal, finest, step) {
  const ending = times(dec(digits), finest);
  const p = Math.max(nominal.p, finest.p);
  const span = at(nominal, p) - at(ending, p);
  const size = at(step, p);
  let count = span / size;
  if (span < 0n && span % size !== 0n) count -= 1n;
  const lower = plus(ending, { n: count * size, p });
  let pair = [lower, plus(lower, step)].map((one) => rounded(one, finest.p));
  if (pair[0].n <= 0n) pair = pair.map((one) => plus(one, step));
  return less(abs(minus(pair[1], nominal)), abs(minus(pair[0], nominal))) ? [pair[1], pair[0]] : pair;
}
function finished(value, form, how, alternatives, situation) {
  const metres = metresOf(value.value, value.unit);
  if (form === "deviation from nominal" && situation.positive && !situation.deviations) {
    throw new Fault(`${situation.label}: the engine file gives no nominal size that this could count from; write the size itself.`);
  }
  return {
    value_m: metres, form, bound: value.bound, unit: value.unit, how, alternatives,
    number: text(value.value), shown: shown(value, form, situation), doubt: doubt(value, metres, form, situation),
    meant: otherUnit(value, form, situation),
  };
}
const bandOf = (form, situation) => ({ absolute: situation.band_m, "deviation from nominal": situation.deviation_band_m, "width of the flattened strip": situation.width_band_m })[form];
const swapped = (unit) => (unit === "in" || unit === "thou" ? "mm" : "in");
// The unit in which the same number could be: "in" for 1.889 typed in millimetres.
function otherUnit(value, form, situation) {
  const unit = swapped(value.unit);
  return form === "absolute" && value.bound === "is" && holds(bandOf(form, situation), metresOf(value.value, unit)) ? unit : "";
}
function doubt(value, metres, form, situation) {
  const band = bandOf(form, situation);
  if (holds(band, metres) || (value.bound !== "is" && metres >= 0)) return "";
  if (metres < 0 && band[0] >= 0 && !situation.positive) return `${situation.label}: less than nothing cannot be here; write it without the sign.`;
  const nominal = situation.nominal[LARGE[value.unit] || "mm"];
  const known = nominal ? `; its nominal is ${nominal} ${LARGE[value.unit] || "mm"}` : "";
  const swap = swapped(value.unit);
  const meant = holds(band, metresOf(value.value, swap)) ? ` Did you mean ${swap === "mm" ? "millimetres" : "inches"}?` : "";
  return `${situation.label}: ${text(value.value)} ${value.unit} cannot be${known}.${meant}`;
}
function shown(value, form, situation) {
  const size = `${text(abs(value.value))} ${value.unit}`;
  if (value.bound !== "is") return `${value.bound} ${size}`;
  if (value.width) return `${size} wide`;
  if (form === "deviation from nominal") return sumText(value.value, value.unit, situation);
  if (value.value.n < 0n) return `${MINUS}${size}`;
  return value.signed && value.value.n !== 0n && !situation.positive ? `+${size}` : size;
}
function sumText(amount, unit, situation) {
  const large = LARGE[unit] || "mm";
  const fine = unit === "µm" || unit === "thou" ? { n: amount.n, p: amount.p + 3 } : amount;
  const scaled = unit === "m" ? times(amount, dec("1000")) : unit === "cm" ? times(amount, dec("10")) : fine;
  const nominal = dec(situation.nominal[large] || "0");
  const shownAmount = scaled.p > 6 ? rounded(scaled, 6) : scaled;
  const places = Math.max(nominal.p, Math.min(scaled.p, 6));
  const start = rounded(nominal, places);
  const part = rounded(shownAmount, places);
  const sign = part.n < 0n ? MINUS : "+";
  return `${text(start)} ${sign} ${text(abs(part))} = ${text(plus(start, part))} ${large}`;
}
