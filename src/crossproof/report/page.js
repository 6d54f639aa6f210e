// Filters what the page lists already; without it, everything is shown.
"use strict";
(() => {
  const form = document.getElementById("filter");
  if (!form) return;
  const groups = [...document.querySelectorAll(".group")].map((element) => ({
    element,
    outcome: element.dataset.outcome,
    reasons: element.dataset.reasons.split(" "),
    head: "",
    rows: [],
  }));
  const sections = [...document.querySelectorAll("section.outcome")];
  const status = document.getElementById("filtered");
  let isRead = false;

  // The text of five thousand records is gathered only once somebody searches it.
  const read = () => {
    for (const group of groups) {
      const parts = group.element.querySelectorAll("h4, .plant, .slip");
      group.head = [...parts].map((part) => part.textContent).join(" ").toLowerCase();
      group.rows = [...group.element.querySelectorAll("tbody tr")].map((row) => ({
        element: row,
        text: row.textContent.toLowerCase(),
      }));
    }
    isRead = true;
  };

  const filter = () => {
    const outcome = form.elements.outcome.value;
    const reason = form.elements.reason.value;
    const text = form.elements.text.value.trim().toLowerCase();
    if (text && !isRead) read();
    let shown = 0;
    for (const group of groups) {
      let fits = (!outcome || group.outcome === outcome) && (!reason || group.reasons.includes(reason));
      const inHead = !text || group.head.includes(text);
      let some = inHead;
      for (const row of group.rows) {
        const keeps = inHead || row.text.includes(text);
        row.element.hidden = !keeps;
        some = some || keeps;
      }
      fits = fits && some;
      group.element.hidden = !fits;
      if (fits) shown += 1;
    }
    for (const section of sections) section.hidden = !section.querySelector(".group:not([hidden])");
    const all = !outcome && !reason && !text;
    status.textContent = all ? "" : `${shown} of ${groups.length} reasonings shown`;
  };

  form.hidden = false;
  let waiting = 0;
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(filter, 150);
  });
  form.addEventListener("reset", () => setTimeout(filter));
  form.addEventListener("submit", (event) => event.preventDefault());
})();
