// What stands round the big field: the place drawn, what the next value does, the bars of a strip.
import { resolve, SignNeeded } from "./resolve.js";
import { asButtons, element } from "./showing.js";

export function degrees(text) {
  const value = Number.parseFloat(text.replace(",", "."));
  return Number.isFinite(value) ? value : null;
}
// What typed text means, before it is taken.
export function showPreview(line, text, unit, situation) {
  line.classList.remove("resolved-fault");
  line.textContent = "";
  if (!text.trim()) return;
  try {
    const found = resolve(text, unit, situation);
    line.textContent = found.doubt || (found.alternatives.length ? `${found.shown}  (or ${found.alternatives[0]}?)` : found.shown);
    line.classList.toggle("resolved-fault", Boolean(found.doubt));
  } catch (error) {
    line.textContent = error instanceof SignNeeded ? text : "";
  }
}

export function showMode(line, mode, now, fitting) {
  const there = now.reading;
  const words = {
    replace: there ? `${there.text} stands here. What you type now takes its place.` : "",
    again: "Once more at this place, without taking it off.",
    refit: `Taken off, cleaned, put back: fitting ${fitting + 1}.`,
    beside: there ? `${there.by} took this place: ${there.text}. What you type is one more reading of it.` : "",
  };
  line.textContent = words[mode] || "";
  line.hidden = !words[mode];
}
export function showCaution(box, lines) {
  box.hidden = !lines.length;
  if (box.hidden || box.textContent.trim()) return;
  const list = element("ul", {}, ...lines.map((one) => element("li", { textContent: one.replace(/^\s*-\s*/, "") })));
  box.replaceChildren(element("div", {}, element("p", { textContent: "Before the strip:" }), list));
}
export function showDrawing(figure, name, drawings, now) {
  if (drawings[name] && figure.dataset.shown !== name) {
    figure.innerHTML = drawings[name];
    figure.dataset.shown = name;
  }
  for (const spot of figure.querySelectorAll(".spot")) {
    const { place, direction } = spot.dataset;
    const mark = direction !== undefined ? direction === now?.direction : !place || place === now?.place;
    spot.classList.toggle("here", mark);
  }
}
export function showBars(box, feature, strip) {
  box.hidden = feature.shape !== "strip";
  const wanted = strip ? strip.key : "none";
  if (box.hidden || box.dataset.shown === wanted) return; // a button that has the focus keeps it
  box.dataset.shown = wanted;
  if (!strip) {
    box.replaceChildren(element("p", { className: "soft", textContent: "Choose the strip below, and its bars stand here to be touched." }));
    return;
  }
  const others = [["Wider than the widest bar", "bar:wider than the widest bar"], ["Not flattened", "bar:not flattened"], ["The number typed is its width", "width"]];
  box.replaceChildren(
    element("p", { className: "soft", textContent: "Touch the bar that is as wide as the strip:" }),
    asButtons(strip.bars.map((one) => [one, `bar:${one}`]), "bar-button"),
    asButtons(others),
  );
}
