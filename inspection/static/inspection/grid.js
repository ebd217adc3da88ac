// The grid of an inspection: typed by keyboard, kept in this browser, saved 25 rows at a time.
import { newKey } from "../rack/strap-figures.js";
import { keys } from "./grid-keys.js";
import { show } from "./grid-rows.js";
import { openStore } from "./grid-store.js";

const AT_ONCE = 25;
const PATIENCE = 30000;
const PAUSES = [1000, 2000, 5000, 10000, 30000];

const at = (id) => document.getElementById(id);
const data = JSON.parse(at("grid-data").textContent);
const table = document.querySelector("#grid table");
const rows = new Map([...table.tBodies[0].rows].map((row) => [row.dataset.tag, row]));
const store = await openStore();
const sheet = (await store.one(data.sheet)) ?? {
  sheet: data.sheet, user: data.user, title: data.title, token: data.token, rows: {}, batches: [],
};
sheet.token = data.token;
let busy = false;
let pause = 0;
let timer = 0;
let told = "";

const stateOf = (tag) => (sheet.rows[tag] ??= { cells: {} });
const typed = (state) => Object.values(state.cells).some((text) => text.trim());
const asks = (state) => state.problems?.some((one) => one.severity === "ASKS") && !stops(state);
const stops = (state) => state.problems?.some((one) => one.severity === "STOPS");
const csrf = () => /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";

function keep() {
  sheet.at = Date.now();
  return store.keep(sheet).catch(() => say("This browser keeps nothing. Save often."));
}

function say(text) {
  if (told === text) return;
  told = text;
  at("grid-state").textContent = text;
}

function count() {
  const all = Object.values(sheet.rows);
  const waiting = all.filter((state) => !state.stored && typed(state)).length;
  const stored = all.filter((state) => state.stored).length;
  at("grid-count").textContent = `${stored} of ${rows.size} stored, ${waiting} typed and not stored`;
  return waiting;
}

// The rows that may be sent now: typed, not stored, not on their way. One that asks goes with the reason.
function ready() {
  const reason = at("grid-reason").value.trim();
  const fit = [...rows.keys()].filter((tag) => {
    const state = stateOf(tag);
    if (state.stored || state.sending || !typed(state)) return false;
    return state.changed || !(asks(state) && !reason);
  });
  return { plain: fit.filter((tag) => stateOf(tag).changed || !asks(stateOf(tag))), reason,
    asked: fit.filter((tag) => !stateOf(tag).changed && asks(stateOf(tag))) };
}

// Batches get their key and are kept before they are sent: sent twice, they are stored once.
async function save() {
  const { plain, asked, reason } = ready();
  for (const [tags, why] of [[plain, ""], [asked, reason]]) {
    for (let from = 0; from < tags.length; from += AT_ONCE) {
      const some = tags.slice(from, from + AT_ONCE);
      sheet.batches.push({ key: newKey(), reason: why, rows: some.map((tag) => ({ ...stateOf(tag).cells, tag })) });
      for (const tag of some) {
        Object.assign(stateOf(tag), { sending: true, changed: false });
        show(rows.get(tag), stateOf(tag));
      }
    }
  }
  await keep();
  if (!sheet.batches.length) say(count() ? "The rows left ask or stop: see beside them." : "Nothing is left to save.");
  await flush();
}

async function flush() {
  if (busy) return;
  busy = true;
  clearTimeout(timer);
  try {
    while (sheet.batches.length) {
      say(`Saving ${sheet.batches.reduce((sum, one) => sum + one.rows.length, 0)} rows`);
      const why = await send(sheet.batches[0]);
      if (why) return later(why);
      pause = 0;
      const all = [...rows.keys()].every((tag) => stateOf(tag).stored) && !sheet.batches.length;
      await (all ? store.remove(data.sheet) : keep()); // what is stored whole need not be kept here
      const waiting = count();
      if (!sheet.batches.length) say(waiting ? `Saved. ${waiting} left: see beside them.` : "Everything typed is stored.");
    }
  } finally {
    busy = false;
  }
}

// Returns why there is no answer, "" when there was one.
async function send(batch) {
  let answer;
  try {
    answer = await fetch(data.save, {
      method: "POST", signal: AbortSignal.timeout(PATIENCE),
      headers: { "Content-Type": "application/json", "X-CSRFToken": csrf() },
      body: JSON.stringify({ token: sheet.token, batches: [batch] }),
    });
  } catch {
    return "down";
  }
  if (answer.redirected || answer.status === 403) return "sign in";
  const said = await answer.json().catch(() => null);
  if (!said || answer.status >= 500) return "down";
  sheet.batches.shift();
  if (said.batches) for (const result of said.batches[0].rows) settle(batch, result);
  else for (const row of batch.rows) settle(batch, { tag: row.tag, status: "refused", problems: [stop(said.refused)] });
  return "";
}

const stop = (text) => ({ severity: "STOPS", text: text || "The server did not understand this row.", behind: "" });

function settle(batch, result) {
  const state = stateOf(result.tag);
  const { said = "", says = [], problems = [], address = "" } = result;
  Object.assign(state, { sending: false, stored: result.status === "stored", said, says, problems, address });
  if (rows.has(result.tag)) show(rows.get(result.tag), state);
}

function later(why) {
  if (why === "sign in") return say("You are signed out, or may not record here. Sign in in another tab, then save again. Nothing typed is lost.");
  say("No answer. What was typed is kept in this browser; it is sent again by itself.");
  timer = setTimeout(flush, PAUSES[Math.min(pause, PAUSES.length - 1)]);
  pause += 1;
}

function take(event) {
  const input = event.target;
  if (!input.dataset.column) return;
  const state = stateOf(input.closest("tr").dataset.tag);
  if (state.stored) return;
  state.cells[input.dataset.column] = input.value;
  state.changed = true;
  keep();
  count();
}

for (const [tag, row] of rows) {
  const state = stateOf(tag);
  if (row.dataset.stored && !state.stored) {
    Object.assign(state, { stored: true, sending: false, said: row.dataset.stored, address: row.dataset.address });
  }
  for (const input of row.querySelectorAll("input[data-column]")) input.value = state.cells[input.dataset.column] ?? "";
  show(row, state);
}
table.addEventListener("input", take);
keys(table, save);
at("grid-save").addEventListener("click", save);
for (const wake of ["online", "pageshow"]) window.addEventListener(wake, flush);
if (!store.safe) say("This browser keeps nothing. Save often.");
count();
table.querySelector("input[data-column]:not([readonly])")?.focus();
document.documentElement.dataset.grid = "ready";
flush();
