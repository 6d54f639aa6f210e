// Keys for those who would rather not use a mouse; without this script every page works all the same.
"use strict";
(() => {
  const one = (selector) => document.querySelector(selector);
  const rows = [...document.querySelectorAll("[data-row]")];
  const marks = rows.map((row) => row.querySelector("input[type=checkbox]"));
  const all = one("#mark-all");
  const told = one("#marked");
  const keysOn = one("#keys-on");
  let at = -1;

  const count = () => {
    if (!told) return;
    const number = marks.filter((mark) => mark.checked).length;
    told.textContent = number ? `(${number} marked)` : "";
    all.checked = number > 0 && number === marks.filter((mark) => !mark.disabled).length;
  };
  if (all) {
    all.addEventListener("change", () => {
      for (const mark of marks) if (!mark.disabled) mark.checked = all.checked;
      count();
    });
    one("#many").addEventListener("change", count);
    count();
  }

  const go = (to) => {
    at = Math.max(0, Math.min(rows.length - 1, to));
    rows.forEach((row, number) => row.classList.toggle("here", number === at));
    rows[at].querySelector("th a").focus();
  };

  const inQueue = {
    n: () => go(at + 1),
    p: () => go(at - 1),
    o: () => at >= 0 && rows[at].querySelector("th a").click(),
    m: () => {
      if (at < 0 || marks[at].disabled) return;
      marks[at].checked = !marks[at].checked;
      count();
    },
  };

  const many = (key) => {
    const together = one("#together");
    const radio = together && { u: "uphold", l: "lower", d: "determine", a: "ask", s: "set_aside" }[key];
    if (!radio || !marks.some((mark) => mark.checked)) return false;
    together.open = true;
    together.querySelector(`input[value=${radio}]`).checked = true;
    together.querySelector(radio === "determine" ? "select" : "input[name=reason]").focus();
    return true;
  };

  try {
    if (localStorage.getItem("desk-keys") === "off") keysOn.checked = false;
    keysOn.addEventListener("change", () => localStorage.setItem("desk-keys", keysOn.checked ? "on" : "off"));
  } catch { /* a browser that keeps nothing: the keys are on */ }

  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches("input:not([type=checkbox], [type=radio]), select, textarea");
    if (event.key === "Escape" && typing) { event.target.blur(); return; }
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey) && event.target.form) {
      event.target.form.requestSubmit();
      return;
    }
    if (typing || event.ctrlKey || event.metaKey || event.altKey || !keysOn.checked) return;
    if (rows.length && inQueue[event.key]) { event.preventDefault(); inQueue[event.key](); return; }
    if (rows.length && many(event.key)) { event.preventDefault(); return; }
    const found = one(`[data-key="${CSS.escape(event.key)}"]:not(:disabled)`);
    if (!found) return;
    event.preventDefault();
    if (found.type === "radio") {
      found.checked = true;
      const form = found.form;
      (found.value === "determine" ? form.elements.choice : form.elements.reason).focus();
    } else if (found.matches("input")) found.focus();
    else found.click();
  });
})();
