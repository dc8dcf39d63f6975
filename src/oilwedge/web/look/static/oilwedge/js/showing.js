// Pieces of the measure page, built from values; nothing here knows where the values come from.

export function element(name, properties = {}, ...inside) {
  const made = Object.assign(document.createElement(name), properties);
  made.append(...inside);
  return made;
}
export const capital = (words) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
export const fault = (sentence) => {
  const line = element("p", { className: "fault", textContent: sentence });
  line.setAttribute("role", "alert");
  return line;
};
export function asButtons(choices, extra = "") {
  return element("p", { className: "actions" }, ...choices.map(([words, action]) => element("button", { type: "submit", name: "action", value: action, className: `button-quiet ${extra}`.trim(), textContent: words })));
}
export function showAsk(panel, { sentence, choices, wrong = false }) {
  panel.replaceChildren(element("div", { className: wrong ? "notice notice-wrong" : "notice" }, element("p", { textContent: sentence }), asButtons(choices)));
}
export function showQuestion(panel, question, set, feature, answer) {
  const shown = question ? `${question.kind}:${question.subject}` : "";
  if (!question) panel.replaceChildren();
  if (panel.dataset.shown === shown) return;
  panel.dataset.shown = shown;
  if (!question) return;
  const isSize = question.kind === "size";
  const title = isSize ? "Which size is it at now?" : `${capital(question.title)}: new, machined or re-used?`;
  const choices = isSize ? feature.sizes : ["new", "machined", "re-used"];
  const hint = isSize ? `${capital(set.title)} and all others of its kind. Keys: s for standard, l for later.` : "It decides which limits hold. Keys: n, m, r, and l for later.";
  const button = (words, act, kind) => {
    const made = element("button", { type: "button", className: kind, textContent: words });
    made.addEventListener("click", act);
    return made;
  };
  const buttons = choices.map((one, index) => button(isSize ? one : one[0].toUpperCase() + one.slice(1), () => answer(question.kind, question.subject, one), isSize && index ? "button-quiet" : "button"));
  const later = button("Not known yet: measure first", () => answer("later"), "button-quiet");
  const box = element("div", { className: "question", tabIndex: -1 }, element("h2", { textContent: title }), element("p", { className: "soft", textContent: hint }), element("p", { className: "actions" }, ...buttons), element("p", { className: "actions" }, later));
  // No choice has the focus by itself: an instrument that types digits and Enter must not answer.
  box.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const wanted = event.key === "l" ? later : buttons.find((one, index) => choices[index].startsWith(event.key) && /^[a-z]$/.test(event.key));
    if (!wanted) return;
    event.preventDefault();
    wanted.click();
  });
  panel.replaceChildren(box);
}
export function showTaken(list, slots, here, closed) {
  const focused = list.contains(document.activeElement) ? document.activeElement.getAttribute("href") : null;
  const settled = new Set([...list.children].filter((one) => one.dataset.reading).map((one) => one.dataset.reading));
  list.replaceChildren(...slots.map((slot) => {
    const label = slot.series > 1 ? `${slot.label} (${slot.series})` : slot.label;
    const name = closed ? element("span", { textContent: label }) : element("a", { href: `?at=${encodeURIComponent(slot.id)}`, textContent: label });
    const words = slot.reading ? slot.reading.text : slot.state === "skipped" ? "left out" : "–";
    const number = element("span", { className: "number", textContent: words });
    const line = element("li", { className: `slot-${slot.state}${slot.unsent ? " unsent" : ""}` }, name, number);
    if (slot.reading) {
      line.dataset.reading = slot.reading.id + (slot.unsent ? "?" : "");
      if (!slot.unsent && settled.has(`${slot.reading.id}?`)) number.classList.add("settle");
    }
    const note = slot.unsent ? "waits here" : slot.reading?.by;
    if (note) line.append(element("small", { className: "soft", textContent: note }));
    if (slot.id === here) line.setAttribute("aria-current", "step");
    return line;
  }));
  if (focused) [...list.querySelectorAll("a")].find((one) => one.getAttribute("href") === focused)?.focus({ preventScroll: true });
}
function waits(records) {
  const count = records.filter((one) => one.body.kind === "reading").length;
  const others = records.length - count;
  const words = [];
  if (count) words.push(`${count} ${count === 1 ? "reading" : "readings"}`);
  if (others) words.push(`${others} ${others === 1 ? "answer" : "answers"}`);
  return `${words.join(" and ")} ${records.length === 1 ? "waits" : "wait"} here`;
}

export function showWaiting(parts, { records, state, connection, addresses, lasting, offline, forget }) {
  const own = records.filter((one) => one.account === state.account);
  const waiting = own.filter((one) => one.state === "waiting" || one.state === "asked");
  const refused = own.filter((one) => (one.state === "parked" || one.state === "refused" || one.state === "other") && one.job === state.job);
  const others = records.filter((one) => one.account !== state.account && one.state !== "stored");
  const says = [];
  if (waiting.length && connection.state !== "sent") says.push(`${waits(waiting)}.`);
  if (connection.state === "session over" || connection.state === "busy") says.push(connection.sentence);
  if (refused.length) says.push(`${refused.length === 1 ? "One reading was" : `${refused.length} readings were`} set aside: see below.`);
  const names = [...new Set(others.map((one) => one.name))];
  for (const name of names) says.push(`${waits(others.filter((one) => one.name === name))} for ${name}, who has to log in to send them.`);
  parts.line.replaceChildren(says.filter(Boolean).join(" "));
  if (connection.state === "session over") parts.line.append(" ", element("a", { href: `${addresses.login}?next=${encodeURIComponent(location.pathname)}`, textContent: "Log in" }));
  parts.line.hidden = !says.length;
  parts.line.classList.toggle("queue-wrong", connection.state === "session over" || refused.length > 0);
  parts.list.replaceChildren(...[...waiting, ...refused, ...others].map((record) => waitingLine(record, state, forget)));
  parts.save.hidden = !records.some((one) => one.job === state.job && one.state !== "stored");
  const notes = [];
  if (!lasting) notes.push("This browser keeps nothing on the device (a private window?), so readings are sent at once and are lost if the page closes before that.");
  if (offline === false) notes.push(window.isSecureContext ? "This page cannot be loaded again without a connection in this browser." : "Readings are kept without a connection, but this page cannot be loaded again without one until this device trusts the shop's certificate.");
  parts.note.textContent = notes.join(" ");
  if (offline === false && !window.isSecureContext) parts.note.append(" ", element("a", { href: addresses.certificate, textContent: "How to install it" }));
}
function waitingLine(record, state, forget) {
  const { body } = record;
  const words = [body.feature || body.subject, body.number, body.place, body.direction].filter(Boolean).join(" ").replaceAll("_", " ");
  const value = body.typed !== undefined ? state.shownText(body) : body.value || body.kind;
  const why = record.sentence || (record.account === state.account ? "waits to be sent" : `waits for ${record.name}`);
  const line = element("li", {}, element("span", { textContent: words }), element("span", { className: "number", textContent: value }), element("small", { className: "soft", textContent: `${record.name}: ${why}` }));
  if (record.state === "parked") {
    const seen = element("button", { type: "button", className: "button-quiet", textContent: "Seen: it is kept with the job" });
    seen.addEventListener("click", () => forget(record));
    line.append(seen);
  }
  return line;
}
