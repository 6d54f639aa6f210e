"use strict";
const data = JSON.parse(document.getElementById("data").textContent);
const SHOWN = 200;
// Each column is its distinct texts and, for each row, which: little-endian numbers of 16 bits. Some have a text a row.
for (const own of Object.values(data.columns)) {
  if (own[1] === null) {
    own[1] = Uint16Array.from(own[0], (_, i) => i);
    continue;
  }
  const view = new DataView(Uint8Array.from(atob(own[1]), sign => sign.charCodeAt(0)).buffer);
  own[1] = Uint16Array.from({ length: view.byteLength / 2 }, (_, i) => view.getUint16(2 * i, true));
}
const column = name => data.columns[name];
const text = (name, row) => column(name)[0][column(name)[1][row]];
const count = column("before")[1].length;
const body = document.querySelector("#change-table tbody");
const form = document.getElementById("change-filter");
const more = document.getElementById("more");
const found = document.getElementById("found");
const names = [...document.querySelectorAll("#change-table th")].map(th => th.dataset.column);
let rows = Array.from({ length: count }, (_, i) => i);
let shown = 0;
let order = null;

function cells(row) {
  return names.map(name => {
    if (name === "reasons") return text(name, row).split(";").map(r => data.reasons[r] || r).join("; ");
    if (name === "after") return text(name, row) + (text("qualifier", row) ? ", " + text("qualifier", row) : "");
    return text(name, row).replace(/_/g, " ");
  });
}

function showMore() {
  const piece = document.createDocumentFragment();
  for (const row of rows.slice(shown, shown + SHOWN)) {
    const tr = document.createElement("tr");
    for (const cell of cells(row)) tr.insertCell().textContent = cell;
    piece.append(tr);
  }
  body.append(piece);
  shown = Math.min(shown + SHOWN, rows.length);
  more.hidden = shown >= rows.length;
  found.value = rows.length.toLocaleString("en") + " records, " + shown.toLocaleString("en") + " shown";
}

// A test on a column is made once for each of its distinct texts.
const matching = (name, test) => column(name)[0].map(test);

function apply() {
  const words = form.words.value.trim().toLowerCase();
  const reason = form.reason.value, before = form.before.value;
  const tests = [];
  if (reason) tests.push(["reasons", matching("reasons", t => t.split(";").includes(reason))]);
  if (before) tests.push(["before", matching("before", t => t === before)]);
  const any = words ? Object.keys(data.columns).map(n => [column(n)[1], matching(n, t => t.toLowerCase().includes(words))]) : null;
  rows = [];
  for (let i = 0; i < count; i++) {
    if (tests.every(([name, ok]) => ok[column(name)[1][i]]) && (!any || any.some(([codes, ok]) => ok[codes[i]]))) rows.push(i);
  }
  if (order) sortRows();
  body.replaceChildren();
  shown = 0;
  showMore();
}

const compare = new Intl.Collator("en", { numeric: true }).compare;

function sortRows() {
  const [texts, codes] = column(order.name);
  const rank = new Uint32Array(texts.length);
  texts.map((t, i) => [t, i]).sort((a, b) => compare(a[0], b[0])).forEach(([, i], n) => { rank[i] = n; });
  rows.sort((a, b) => (rank[codes[a]] - rank[codes[b]]) * order.sign || a - b);
}

function toggle(th, run) {
  const down = th.getAttribute("aria-sort") === "ascending";
  for (const other of th.parentNode.cells) other.removeAttribute("aria-sort");
  th.setAttribute("aria-sort", down ? "descending" : "ascending");
  run(down ? -1 : 1);
}

for (const th of document.querySelectorAll("#change-table th")) {
  th.querySelector("button").addEventListener("click", () => toggle(th, sign => { order = { name: th.dataset.column, sign }; apply(); }));
}
for (const table of document.querySelectorAll("table.sortable")) {
  [...table.tHead.rows[0].cells].forEach((th, i) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = th.textContent;
    th.replaceChildren(button);
    button.addEventListener("click", () => toggle(th, sign => {
      const value = tr => tr.cells[i].dataset.n ?? tr.cells[i].textContent;
      table.tBodies[0].append(...[...table.tBodies[0].rows].sort((a, b) => compare(value(a), value(b)) * sign));
    }));
  });
}
const fill = (select, items) => { for (const [value, label] of items) select.add(new Option(label, value)); };
fill(form.reason, Object.entries(data.reasons));
const claims = new Map();
for (const code of column("before")[1]) claims.set(code, (claims.get(code) || 0) + 1);
fill(form.before, [...claims].sort((a, b) => b[1] - a[1]).slice(0, 200).map(([code, n]) => [column("before")[0][code], column("before")[0][code] + " (" + n.toLocaleString("en") + ")"]));
form.addEventListener("input", apply);
form.addEventListener("submit", event => event.preventDefault());
more.addEventListener("click", showMore);
document.getElementById("rows-with").addEventListener("input", event => {
  const words = event.target.value.trim().toLowerCase();
  for (const tr of document.querySelectorAll(".group tbody tr")) tr.hidden = words && !tr.cells[0].textContent.toLowerCase().includes(words);
});
showMore();
