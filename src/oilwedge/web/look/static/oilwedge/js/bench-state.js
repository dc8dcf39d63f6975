// What is known of a job on this device: the sets as the server last told them, and on top of them
// what was typed here and is not in the record yet.

export const newId = () => {
  if (crypto.randomUUID) return `b-${crypto.randomUUID()}`;
  return `b-${[...crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("")}`;
};
export const keyOf = (feature, number) => `${feature}/${number}`;

const SHOWN = { mm: [1e-3, 3, 4], in: [0.0254, 4, 5], "µm": [1e-6, 0, 1], thou: [2.54e-5, 1, 2] };
// A nominal size as the server writes it: with as many decimals as it needs, between two bounds.
export function nominalTexts(nominal) {
  const texts = {};
  for (const [unit, [metres, least, most]] of Object.entries(SHOWN)) {
    const value = nominal / metres;
    let decimals = least;
    while (decimals < most && Math.abs(Number(value.toFixed(decimals)) - value) * metres > 1e-12) decimals += 1;
    const exact = Math.abs(Number(value.toFixed(decimals)) - value) * metres <= 1e-12;
    texts[unit] = value.toFixed(exact ? decimals : least);
  }
  return texts;
}

export class BenchState {
  constructor(plan, addresses) {
    this.job = plan.job;
    this.account = plan.account;
    this.name = plan.name;
    this.addresses = addresses;
    this.features = {};
    this.drawings = {};
    this.sets = new Map();
    this.order = [];
    this.closed = plan.closed;
    this.local = [];
    this.pending = new Set();  // on their way into the device's store
    this.memory = this.recall();
    this.learn(plan);
  }
  // Sets from the page, the plan or a following answer; of each the newest wins.
  learn(plan, isWholePlan = false) {
    this.learned = (this.learned || 0) + 1;
    const prefix = `${this.learned}:`;  // names of drawings hold within one answer only
    for (const [name, svg] of Object.entries(plan.drawings || {})) this.drawings[prefix + name] = svg;
    for (const [key, feature] of Object.entries(plan.features || {})) {
      this.features[key] = { ...feature, drawing: prefix + feature.drawing };
    }
    for (const one of plan.sets) {
      const key = keyOf(one.feature, one.number);
      const old = this.sets.get(key);
      if (!old || old.count <= plan.count) this.sets.set(key, { ...one, key, count: plan.count });
    }
    if (isWholePlan) this.order = plan.sets.map((one) => keyOf(one.feature, one.number));
    if (plan.count >= (this.count || 0)) {
      this.count = plan.count;
      this.closed = plan.closed;
    }
  }
  recall() {
    try {
      return JSON.parse(localStorage.getItem(this.memoryKey)) || {};
    } catch {
      return {};
    }
  }
  get memoryKey() { return `oilwedge.measure.${this.account}.${this.job}`; }
  remember(patch) {
    this.memory = { ...this.memory, ...patch };
    try {
      localStorage.setItem(this.memoryKey, JSON.stringify(this.memory));
    } catch { /* remembered for this page only */ }
  }
  // Whether what the server told holds an entry already.
  covers(record) {
    const set = this.sets.get(keyOf(record.body.feature, record.body.number));
    return record.count <= (set ? set.count : this.planCount || 0);
  }
  mine() {
    return this.local.filter((one) => one.job === this.job && one.account === this.account && ["waiting", "stored", "asked"].includes(one.state));
  }
  // The places of a set with what was typed here on top.
  slots(key) {
    const set = this.sets.get(key);
    if (!set) return [];
    const slots = set.slots.map((one) => ({ ...one }));
    for (const record of this.mine()) {
      const { body } = record;
      if (keyOf(body.feature, body.number) !== key) continue;
      if (record.state === "stored" && record.count <= set.count) continue;
      if (body.kind === "reading") this.lay(slots, record);
      if (body.kind === "skip") {
        for (const slot of slots) {
          if (slot.place === body.place && slot.direction === body.direction && slot.state === "open") Object.assign(slot, { state: "skipped", unsent: record.state !== "stored" });
        }
      }
    }
    return slots;
  }
  lay(slots, record) {
    const { body } = record;
    if (slots.some((one) => one.reading && one.reading.id === record.id)) return;
    const here = slots.filter((one) => one.place === body.place && one.direction === body.direction);
    const slot = body.replaces ? slots.find((one) => one.reading && one.reading.id === body.replaces) : here.find((one) => !one.reading);
    if (!slot) return;
    slot.state = "taken";
    slot.reading = { id: record.id, text: this.shownText(body), by: record.name, asked: record.state === "asked" };
    slot.unsent = record.state !== "stored";
  }
  // As typed; where that is not the size itself, with the size that it was taken for.
  shownText(body) {
    const taken = body.resolved || "";
    const isSum = taken.includes("=");
    if (isSum || (/^\d+$/.test(body.typed) && taken && taken !== `${body.typed} ${body.unit}` && !taken.includes("wide"))) {
      return `${body.typed} → ${taken.split("=").pop().trim()}`;
    }
    return /[a-zµ"]\s*$/i.test(body.typed) ? body.typed : `${body.typed} ${body.unit}`;
  }
  isComplete(key) {
    const slots = this.slots(key);
    return slots.length > 0 && slots.every((one) => one.state !== "open");
  }
  // The next set with an open place: behind this one in planned order, then from the front.
  nextSet(key) {
    const start = this.order.indexOf(key) + 1;
    const turned = [...this.order.slice(start), ...this.order.slice(0, start)];
    const next = turned.find((one) => one !== key && this.sets.has(one) && !this.isComplete(one));
    return next ? this.sets.get(next) : null;
  }
  feature(key) { return this.features[this.sets.get(key).feature]; }
  strip(key) {
    return this.feature(key).strips.find((one) => one.key === this.instrument(key)) || null;
  }
  instrument(key) {
    const { feature } = this.sets.get(key);
    const kept = (this.memory.instruments || {})[feature];
    const own = this.feature(key);
    const known = [...own.instruments, ...own.strips].map((one) => one.key);
    if (kept !== undefined && (kept === "" || known.includes(kept))) return kept;
    const inUse = Object.values(this.memory.instruments || {}).find((one) => known.includes(one));
    if (inUse) return inUse;
    if (known.includes(this.addresses.instrument)) return this.addresses.instrument;
    return known.length === 1 ? known[0] : "";
  }
  unit(key) {
    return this.memory.unit || this.addresses.unit || this.feature(key).unit;
  }
  situation(key, slot) {
    const set = this.sets.get(key);
    const own = this.feature(key);
    const found = { ...own.situation, ...(set.situation || {}) };
    const instrument = own.instruments.find((one) => one.key === this.instrument(key));
    const strip = this.strip(key);
    if (instrument && instrument.finest) found.finest = instrument.finest;
    if (strip) Object.assign(found, strip.situation);
    const step = this.statedStep(key);
    if (step !== null && set.nominal_m !== null) found.nominal = nominalTexts(set.nominal_m + own.factor * step);
    const where = [slot.place, slot.direction].filter(Boolean).join(", ");
    found.label = where ? `${set.label}, ${where}` : set.label;
    return found;
  }
  // The size that was stated here and is not in the record yet: it moves what is expected.
  statedStep(key) {
    const set = this.sets.get(key);
    const stated = this.mine().filter((one) => one.body.kind === "size" && one.body.subject === set.feature && !(one.state === "stored" && one.count <= set.count));
    if (!stated.length) return null;
    const found = /^([0-9.]+) (mm|in)/.exec(stated[stated.length - 1].body.value);
    return found ? Number(found[1]) * (found[2] === "in" ? 0.0254 : 0.001) : 0;
  }
  // What has to be asked before the first value, as the record stands with what was typed here.
  question(key) {
    const set = this.sets.get(key);
    if ((this.memory.later || []).includes(set.feature)) return null;
    const answered = (kind, subject) => this.mine().some((one) => one.body.kind === kind && one.body.subject === subject);
    if (set.size && !answered("size", set.feature)) return { kind: "size", subject: set.feature };
    const part = set.parts.find((one) => !answered("condition", one.part));
    return part ? { kind: "condition", subject: part.part, title: part.title } : null;
  }
  fitting(key) {
    const set = this.sets.get(key);
    const here = this.mine().filter((one) => one.body.kind === "reading" && keyOf(one.body.feature, one.body.number) === key).map((one) => one.body.fitting);
    return Math.max(set.fitting, 1, ...here);
  }
}
