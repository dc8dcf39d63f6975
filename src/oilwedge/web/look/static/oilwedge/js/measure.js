// The measure page: takes what is typed, keeps it on this device, sends it, and goes on.
import { BenchState, keyOf, newId } from "./bench-state.js";
import { keepForOffline } from "./keeping.js";
import { clearOld, openQueue } from "./queue.js";
import { Fault, resolve, SignNeeded } from "./resolve.js";
import { request, Sender } from "./sending.js";
import { saveUnsent } from "./saving.js";
import { degrees, showBars, showCaution, showDrawing, showMode, showPreview } from "./showing-field.js";
import { capital, element, fault, showAsk, showQuestion, showTaken, showWaiting } from "./showing.js";

const POLL_MS = 4000;
const by = (id) => document.getElementById(id);
const json = (id) => JSON.parse(by(id).textContent);
const addresses = json("addresses");
const state = new BenchState(json("plan"), addresses);
const queue = await openQueue();
const form = by("take");
const typed = by("typed");
const here = { key: keyOf(state.sets.values().next().value.feature, state.sets.values().next().value.number), slot: null, mode: "next", pending: null };
const shopTail = / – .*$/.exec(document.title)?.[0] || "";
const connection = { reachable: true, state: "sent", sentence: "" };

// ---- where we are ----
const setAddress = (set) => `/jobs/${encodeURIComponent(state.job)}/measure/${encodeURIComponent(set.feature)}/${set.number}/`;
const setOfAddress = () => {
  const parts = location.pathname.split("/").map(decodeURIComponent);
  return parts[3] === "measure" ? keyOf(parts[4], parts[5]) : "";
};
const slots = () => state.slots(here.key);
const slot = () => slots().find((one) => one.id === here.slot) || null;

function goTo(id, mode = "") {
  const found = slots();
  const wanted = found.find((one) => one.id === id) || found.find((one) => one.state === "open") || null;
  here.slot = wanted ? wanted.id : null;
  here.mode = mode || (wanted && wanted.reading ? "replace" : "next");
  clearAsk();
  if (typed) typed.value = "";
  render();
  focusField();
}
function clearAsk() {
  here.pending = null;
  if (form && !by("ask").dataset.asked) by("ask").replaceChildren();
}
function focusField() {
  const question = by("question").querySelector(".question");
  const target = question || (slot() && typed) || by("next");
  if (target) target.focus({ preventScroll: true });
}
function goOn() {
  const found = slots();
  const from = found.findIndex((one) => one.id === here.slot);
  const next = [...found.slice(from + 1), ...found.slice(0, from + 1)].find((one) => one.state === "open");
  goTo(next ? next.id : "");
}
function goToSet(key, push = true) {
  if (!state.sets.has(key)) return false;
  here.key = key;
  if (push) history.pushState({}, "", setAddress(state.sets.get(key)));
  by("result").replaceChildren();
  tag = "";
  goTo("");
  window.scrollTo(0, 0);
  follow();
  return true;
}

// ---- showing ----
function render() {
  const set = state.sets.get(here.key);
  const feature = state.feature(here.key);
  const found = slots();
  const now = slot();
  const question = now && !now.reading ? state.question(here.key) : null; // a value that is read anew was asked about
  document.title = `${capital(set.title)}, job ${state.job}${shopTail}`;
  by("set-title").textContent = capital(set.title);
  by("set-count").textContent = `${found.filter((one) => one.state !== "open").length} of ${found.length}`;
  by("set-bar").replaceChildren(...found.map((one) => element("li", { className: one.state !== "open" ? "done" : one === now || one.id === here.slot ? "now" : "" })));
  by("how").textContent = feature.how;
  by("how").hidden = !feature.how;
  by("where-column").hidden = !now;
  showDrawing(by("drawing"), feature.drawing, state.drawings, now);
  showTaken(by("taken"), found, here.slot, state.closed);
  by("onward").hidden = Boolean(now) && !state.closed;
  showNext();
  if (form) {
    form.hidden = !now || Boolean(question) || state.closed;
    showQuestion(by("question"), question, set, feature, answer);
    if (now) renderField(set, feature, now);
  }
  showQueue();
}
function renderField(set, feature, now) {
  const unit = state.unit(here.key);
  by("where").textContent = now.series > 1 ? `${now.label} (${now.series})` : now.label;
  const nominal = state.situation(here.key, now).nominal[unit];
  by("nominal").replaceChildren(...(nominal ? ["nominal ", element("span", { className: "quantity", textContent: `${nominal} ${unit}` })] : []));
  by("unit-shown").textContent = unit;
  for (const radio of form.elements.unit) radio.checked = radio.value === unit;
  showMode(by("mode"), here.mode, now, state.fitting(here.key));
  showCaution(by("caution"), slots().every((one) => one.state === "open") ? feature.before : []);
  showBars(by("bars"), feature, state.strip(here.key));
  const choices = [...feature.instruments.map((one) => [one.key, one.overdue ? `${one.title} (calibration overdue)` : one.title]), ...feature.strips.map((one) => [one.key, one.title]), ["", feature.shape === "strip" ? "a strip, not named" : `a ${feature.usual || "instrument"}, not named`]];
  const select = by("instrument");
  const listed = JSON.stringify(choices);
  if (select.dataset.listed !== listed) {  // a list that is open under a finger stays
    select.dataset.listed = listed;
    select.replaceChildren(...choices.map(([value, words]) => element("option", { value, textContent: words })));
  }
  const chosen = state.instrument(here.key);
  if (select.value !== chosen) select.value = chosen;
  const undo = lastMine();
  const line = by("undo").querySelector("a");
  const href = undo ? `?at=${encodeURIComponent(undo.id)}` : "";
  const words = undo ? `Misread: ${undo.label} ${undo.reading.text}` : "";
  if (line && line.textContent !== words) line.remove();
  if (undo && !line?.isConnected) by("undo").prepend(element("a", { className: "button-quiet", href, textContent: words }));
  preview();
}
// The last reading typed here: another person's is not undone by accident.
function lastMine() {
  const last = state.memory.last;
  return last ? slots().find((one) => one.reading && one.reading.id === last) || null : null;
}
function showNext() {
  const next = state.nextSet(here.key);
  const link = by("next");
  const words = next ? `Next: ${next.title}` : state.order.length ? "All is read: to the job" : link.textContent.trim();
  link.href = next ? setAddress(next) : state.order.length ? addresses.job : link.href;
  if (link.textContent.trim() !== words) link.textContent = words;
}
function preview() {
  const now = slot();
  showPreview(by("resolved"), now ? typed.value : "", state.unit(here.key), now && state.situation(here.key, now));
}

// ---- taking ----
function take({ confirmed = false, sure = false } = {}) {
  const now = slot();
  if (!now || state.closed) return;
  const words = typed.value.trim();
  const { pending } = here;
  clearAsk();
  try {
    const found = resolve(words, state.unit(here.key), state.situation(here.key, now));
    if (found.doubt && !confirmed) {
      here.pending = "doubt";
      by("resolved").textContent = "";
      showAsk(by("ask"), { sentence: found.doubt, wrong: true, choices: [...(found.meant ? [[`Yes: take ${found.number} ${found.meant}`, `bar:${found.number} ${found.meant}`]] : []), [`It reads ${found.shown}: keep it`, "keep"]] });
      return;
    }
    if (found.how === "as typed" && found.alternatives.length && !sure && pending !== "sure") {
      here.pending = "sure";
      showAsk(by("ask"), { sentence: `That is ${found.shown}. Take it?`, choices: [[`Take ${found.shown}`, "sure"], [`No: ${found.alternatives[0]}`, `bar:${found.alternatives[0]}`]] });
      return;
    }
    keep(reading(now, words, found, confirmed));
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    if (error instanceof SignNeeded) {
      here.pending = "sign";
      showAsk(by("ask"), { sentence: "The gauge was zeroed and can read either way.", choices: [["Larger than zero", "larger"], ["Smaller than zero", "smaller"]] });
    } else {
      by("ask").replaceChildren(fault(error.message));
    }
  }
}
function reading(now, words, found, confirmed) {
  return {
    ...place(now), kind: "reading", typed: words, unit: state.unit(here.key), resolved: found.shown,
    instrument: state.instrument(here.key), fitting: state.fitting(here.key) + (here.mode === "refit" ? 1 : 0),
    setting: String(state.memory.setting || 1), replaces: here.mode === "replace" && now.reading ? now.reading.id : "", confirmed,
    part_c: degrees(form.elements.part_c.value), instrument_c: degrees(form.elements.instrument_c.value), note: form.elements.note.value.trim(),
  };
}
const place = (now) => {
  const set = state.sets.get(here.key);
  return { feature: set.feature, number: set.number, place: now.place, direction: now.direction };
};
// The page goes on at once; the device has the entry a moment later, and only then is it sent.
async function keep(body, { stay = false } = {}) {
  const id = newId();
  const record = { id, job: state.job, account: state.account, name: state.name, state: "waiting", sentence: "", body: { id, device_time: new Date().toISOString(), author: state.account, ...body } };
  const from = here.slot;
  state.pending.add(record);
  state.local.push(record);
  form.elements.note.value = "";
  if (body.kind === "reading") state.remember({ last: id });
  if (stay) {
    render();
    focusField();
  } else {
    goOn();
  }
  try {
    await queue.add(record);
  } catch {
    state.local = state.local.filter((one) => one !== record);
    goTo(from);
    if (body.typed) typed.value = body.typed;
    by("ask").replaceChildren(fault("This device has no room to keep the reading. Make room, then take it again."));
    return;
  } finally {
    state.pending.delete(record);
  }
  await changed();
  sender.now();
}
function answer(kind, subject, value) {
  if (kind === "later") {
    state.remember({ later: [...(state.memory.later || []), state.sets.get(here.key).feature] });
    render();
    focusField();
  } else {
    keep({ kind, subject, value }, { stay: true });
  }
}
function act(action) {
  const [name, ...parts] = action.split(":");
  const rest = parts.join(":");
  if (name === "take") take();
  else if (name === "sure") take({ sure: true });
  else if (name === "keep") take({ confirmed: true });
  else if (name === "bar") takeAs(rest);
  else if (name === "width") takeAs(typed.value.trim() ? `width ${typed.value.trim()}` : "");
  else if (name === "larger" || name === "smaller") takeAs((name === "larger" ? "+" : "-") + typed.value.trim());
  else if (name === "skip") skip(rest || form.elements.note.value.trim());
  else if (name === "zero") keep({ kind: "zero check", instrument: state.instrument(here.key), value: rest }, { stay: true });
  else if (name === "setting") anew();
  else if (name === "confirm") settleAsked(rest, true);
  else if (name === "drop") settleAsked(rest, false);
  else if (name === "remember") by("more").open = false;
}
function takeAs(words) {
  typed.value = words;
  take({ sure: true });
}
function skip(reason) {
  const now = slot();
  if (!now) return;
  if (reason) {
    keep({ ...place(now), kind: "skip", note: reason });
    return;
  }
  const reasons = ["cannot be reached", "damaged there", "no instrument for it", "not needed"];
  showAsk(by("ask"), { sentence: "Why is this place left out?", choices: reasons.map((one) => [one, `skip:${one}`]) });
  by("ask").querySelector("button").focus();
}
function anew() {
  state.remember({ setting: Number(state.memory.setting || 1) + 1 });
  by("ask").replaceChildren(element("p", { className: "notice", textContent: "The gauge is set anew from here on." }));
  typed.focus();
}

// ---- what the server asked back, refused, or takes later ----
async function settleAsked(id, confirmed) {
  const record = state.local.find((one) => one.id === id);
  if (!record) return;
  if (confirmed) await queue.put({ ...record, state: "waiting", sentence: "", body: { ...record.body, confirmed: true } });
  else await queue.remove(record.seq);
  await changed();
  if (!confirmed) goTo(slots().find((one) => one.place === record.body.place && one.direction === record.body.direction)?.id || "");
  sender.now();
}
async function changed({ told: others = true } = {}) {
  const kept = await queue.all();
  const missing = (one) => !kept.some((there) => there.id === one.id);
  // Another tab may let go of what it was told is stored before this one was told so.
  const held = state.local.filter((one) => one.state === "stored" && one.job === state.job && missing(one) && !state.covers(one));
  state.local = [...kept, ...held, ...[...state.pending].filter(missing)];
  if (others && channel) channel.postMessage("changed");
  for (const record of state.local) {
    if (record.state === "stored" && record.job === state.job && state.covers(record)) await queue.remove(record.seq);
  }
  const asked = form && state.mine().find((one) => one.state === "asked");
  if (asked && !by("ask").dataset.asked) {
    by("ask").dataset.asked = asked.id;
    showAsk(by("ask"), { sentence: `${asked.sentence} (${state.shownText(asked.body)})`, wrong: true, choices: [["It reads so: keep it", `confirm:${asked.id}`], ["Type it anew", `drop:${asked.id}`]] });
  } else if (form && !asked && by("ask").dataset.asked) {
    by("ask").replaceChildren();
    delete by("ask").dataset.asked;
  }
  render();
  if (state.mine().some((one) => one.body.kind === "size" && one.state === "stored" && one.count > (state.planCount || 0))) prefetch();
  if (state.isComplete(here.key) && !state.mine().some((one) => one.state === "waiting")) follow();
}
function told(what, sentence) {
  Object.assign(connection, { state: what, sentence, reachable: what !== "offline" });
  const text = what === "offline" ? undefined : "";
  document.dispatchEvent(new CustomEvent("oilwedge:connection", { detail: { reachable: connection.reachable, text } }));
  showQueue();
}
function showQueue() {
  showWaiting({ line: by("queue"), list: by("waiting-list"), save: by("save-file"), note: by("store-note") }, { records: state.local, state, connection, addresses, lasting: queue.lasting, offline: offlineReady, forget });
}
async function forget(record) {
  await queue.remove(record.seq);
  await changed();
}
// ---- following what others do ----
let tag = "";
async function follow() {
  const key = here.key;
  const set = state.sets.get(key);
  try {
    const answered = await request(`${setAddress(set)}now?in=${encodeURIComponent(state.unit(key))}`, { headers: tag ? { "If-None-Match": tag } : {}, cache: "no-store" });
    if (answered.status === 401) told("session over", "Your session is over. What you typed is kept here; log in to send it.");
    if (answered.status !== 200) return;
    const plan = await answered.json();
    if (plan.account !== state.account || key !== here.key) return;
    tag = answered.headers.get("ETag") || "";
    const before = slot();
    state.learn(plan);
    if (connection.state === "offline") sender.now();
    by("result").innerHTML = plan.result;
    by("hidden-note").hidden = !plan.hidden;
    by("job-count").textContent = plan.progress;
    tookMine(before);
    render();
  } catch {
    told("offline", "");
  }
}
function tookMine(before) {
  const now = slot();
  if (!before || before.reading || !now || !now.reading) return;
  if (typed.value.trim()) here.mode = "beside";
  else goOn();
}
async function prefetch() {
  try {
    const answered = await request(addresses.plan);
    if (!answered.ok) return;
    const plan = await answered.json();
    if (plan.account !== state.account) return;
    state.learn(plan, true);
    state.planCount = plan.count;
    await queue.savePlan(plan);
    await changed();
  } catch { /* without a connection the kept plan serves */ }
}

// ---- beginning ----
let offlineReady = null;
const channel = window.BroadcastChannel ? new BroadcastChannel("oilwedge-queue") : null;
if (channel) channel.onmessage = () => changed({ told: false });
const sender = new Sender({ queue, account: state.account, told, changed });
state.local = await queue.all();
for (const record of state.local) {
  if (record.state === "other" && record.account === state.account) await queue.change(record.seq, { state: "waiting", sentence: "" });
}
state.local = await queue.all();
if (form) {
  for (const key of form.querySelectorAll(".key")) {
    key.hidden = false;
    key.addEventListener("pointerdown", (event) => event.preventDefault());
    key.addEventListener("click", () => press(key.dataset.key));
  }
  document.addEventListener("submit", (event) => {
    if (event.target !== form) return;
    event.preventDefault();
    act(event.submitter?.value || "take");
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing || event.target.tagName !== "INPUT") return;
    event.preventDefault();
    if (event.target === typed) act("take");
    else typed.focus();
  });
  typed.addEventListener("input", () => {
    clearAsk();
    preview();
  });
  form.addEventListener("change", (event) => {
    if (event.target.name === "unit") {
      state.remember({ unit: event.target.value });
      tag = "";
    } else if (event.target.name === "instrument") state.remember({ instruments: { ...(state.memory.instruments || {}), [state.sets.get(here.key).feature]: event.target.value } });
    else return;
    render();
    typed.focus({ preventScroll: true });
  });
}
function press(key) {
  const start = typed.selectionStart ?? typed.value.length;
  if (key === "±") typed.value = typed.value.startsWith("-") ? typed.value.slice(1) : `-${typed.value.replace(/^\+/, "")}`;
  else typed.setRangeText(".", start, typed.selectionEnd ?? start, "end");
  typed.dispatchEvent(new Event("input", { bubbles: true }));
  typed.focus({ preventScroll: true });
}
document.addEventListener("click", (event) => {
  const link = event.target.closest("a");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const url = new URL(link.href, location.href);
  if (form && url.pathname === location.pathname && url.searchParams.has("at")) {
    event.preventDefault();
    const again = url.searchParams.get("again");
    const id = again ? here.slot : url.searchParams.get("at");
    goTo(id, again === "same" ? "again" : again === "refit" ? "refit" : "");
  } else if (form && link.id === "next") {
    const next = state.nextSet(here.key);
    if (next && goToSet(next.key)) event.preventDefault();
  }
});
window.addEventListener("popstate", () => {
  if (!goToSet(setOfAddress(), false)) location.reload();
});
by("save-file").addEventListener("click", () => saveUnsent(state.job, state.local));
window.addEventListener("offline", () => told("offline", ""));
const wanted = setOfAddress();
const kept = await queue.plan(state.account, state.job);
if (kept) state.learn(kept, true);
if (wanted && state.sets.has(wanted)) here.key = wanted;
goTo(new URLSearchParams(location.search).get("at") || "");
document.documentElement.dataset.measuring = "ready";
sender.now();
setInterval(() => {
  if (document.visibilityState === "visible" && connection.state !== "session over") follow();
}, POLL_MS);
follow();
prefetch().then(() => clearOld(queue, state.local, state.account));
keepForOffline({ worker: addresses.worker, account: state.account }).then((ready) => {
  offlineReady = ready;
  showQueue();
});
