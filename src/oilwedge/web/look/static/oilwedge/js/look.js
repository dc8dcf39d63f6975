// The switch between light and dark, the line that says whether the server can be reached, and
// what a renewed part of a page keeps.
"use strict";
(() => {
  const root = document.documentElement;
  const themes = document.getElementById("theme");
  const line = document.getElementById("connection");
  const COOKIE = "oilwedge_theme";

  const show = (choice) => {
    if (choice) root.dataset.theme = choice;
    else delete root.dataset.theme;
    for (const button of themes.children) {
      button.setAttribute("aria-pressed", String(button.dataset.choice === choice));
    }
  };
  if (themes) {
    themes.hidden = false;
    show(root.dataset.theme || "");
    themes.addEventListener("click", (event) => {
      const button = event.target.closest("button");
      if (!button) return;
      const choice = button.dataset.choice;
      const age = choice ? 31536000 : 0;
      const secure = location.protocol === "https:" ? "; Secure" : "";
      document.cookie = `${COOKIE}=${choice}; Path=/; Max-Age=${age}; SameSite=Lax${secure}`;
      show(choice);
    });
  }

  // Other scripts send "oilwedge:connection" with {reachable: true|false, text: "..."}.
  const say = (reachable, text) => {
    if (line) line.textContent = reachable ? text || "" : text || line.dataset.alone;
  };
  document.addEventListener("oilwedge:connection", (event) => {
    say(event.detail.reachable, event.detail.text);
  });
  window.addEventListener("offline", () => say(false));
  window.addEventListener("online", () => say(true));
  document.addEventListener("htmx:sendError", () => say(false));
  document.addEventListener("htmx:afterOnLoad", () => say(true));
  if (!navigator.onLine) say(false);

  // A part of the page that is renewed stays where it was scrolled to, and open where it was open.
  const SCROLLED = ".crank, .table-scroll";
  // What has the focus keeps it, known again by what it does: links of a drawing have no ids.
  const pressed = (one) => [one.tagName, one.getAttribute("href"), one.getAttribute("value"), one.closest("details")?.id].join(" ");
  const alike = (key) => [...document.querySelectorAll("main a, main button, main summary")].filter((one) => pressed(one) === key);
  const focused = () => {
    const one = document.activeElement;
    if (!one || !one.matches("main a, main button, main summary")) return null;
    const key = pressed(one);
    return { key, at: alike(key).indexOf(one) };
  };
  let kept = { lefts: [], open: [], focus: null };
  document.addEventListener("htmx:beforeSwap", () => {
    kept = {
      focus: focused(),
      lefts: [...document.querySelectorAll(SCROLLED)].map((one) => one.scrollLeft),
      open: [...document.querySelectorAll("details[id][open]")].map((one) => one.id),
    };
  });
  document.addEventListener("htmx:afterSettle", () => {
    document.querySelectorAll(SCROLLED).forEach((one, at) => {
      if (kept.lefts[at]) one.scrollLeft = kept.lefts[at];
    });
    for (const id of kept.open) {
      const found = document.getElementById(id);
      if (found) found.open = true;
    }
    if (kept.focus && (!document.activeElement || document.activeElement === document.body)) {
      alike(kept.focus.key)[kept.focus.at]?.focus({ preventScroll: true });
    }
  });
})();
