// The strap page: type a length, Enter, the next joint. Nothing waits for the server.
import { Board } from "./strap-board.js";
import { newKey } from "./strap-figures.js";
import { hands } from "./strap-hands.js";
import { openOutbox } from "./strap-outbox.js";
import { Queue } from "./strap-queue.js";
import { Rows } from "./strap-rows.js";
import { Sender } from "./strap-sender.js";
import { othersIn, words } from "./strap-words.js";

const at = (id) => document.getElementById(id);
const data = JSON.parse(at("strap-data").textContent);
const here = at("read").getAttribute("action");
const outbox = await openOutbox();
const queue = new Queue(data);
const rows = new Rows(data);
const board = new Board(here, data.unit);
let state = "sent";
let again = 0;
let putting = 0; // entries on their way to the disk of this browser

const ours = (entry) => entry.user === data.user && entry.body.tally === data.tally && entry.body.strap_n === data.strap_n;

const sender = new Sender({
  outbox, address: data.readings, user: data.user,
  answered: (entry, result) => {
    if (!ours(entry)) return;
    rows.answer(entry, result);
    if (result.status === "refused" && entry.body.line) queue.done.delete(entry.body.line);
    if (result.line && entry.body.typed) queue.done.add(result.line);
  },
  changed: (now) => {
    state = now;
    show();
    if (now === "sent") refresh();
  },
});

async function show() {
  board.draw(rows, queue);
  const all = await outbox.all();
  const waiting = all.filter((entry) => entry.user === data.user && !entry.refused).length || putting;
  const said = words(state, waiting, othersIn(all, data.user), outbox.safe);
  at("sending").textContent = waiting ? `· ${waiting} to be stored` : "";
  at("sign-in").hidden = state !== "sign in";
  if (at("waiting").textContent !== said) at("waiting").textContent = said;
  at("finish-it").disabled = waiting > 0;
  at("finish-waits").hidden = waiting === 0;
  board.refused(all.filter((entry) => ours(entry) && entry.refused), typeAgain, putAway);
}

// The sums and the list as the server has them, a moment after the last answer.
function refresh() {
  clearTimeout(again);
  again = setTimeout(async () => {
    if ((await board.sheet(queue.now?.line)) && state === "sent") show();
    await queue.fill(rows.now().unread);
    show();
  }, 250);
}

async function send(body, painted) {
  const entry = { user: data.user, who: data.who, painted, body: { key: newKey(), tally: data.tally, strap_n: data.strap_n, ...body } };
  entry.body.made_at = new Date().toISOString();
  if (body.typed) rows.add(entry);
  putting += 1;
  at("sending").textContent = `· ${putting} to be stored`;
  board.draw(rows, queue);
  await outbox.put(entry);
  putting -= 1;
  await show();
  sender.flush();
}

const page = {
  read(typed) {
    const joint = queue.now;
    queue.read();
    send({ typed, ...(joint.line ? { line: joint.line } : { painted: joint.painted }) }, joint.painted);
  },
  takeBack(key) {
    const row = rows.takeBack(key);
    if (!row) return;
    for (const name of [row.line, `new ${row.painted}`]) queue.done.delete(name);
    queue.jump({ line: row.line, painted: row.painted, serial: row.serial ?? "", shown: "" });
    send({ takes_back: key }, row.painted);
  },
  takeBackLast: () => rows.last() && page.takeBack(rows.last().key),
  confirm(key) {
    rows.confirm(key);
    send({ confirms: key }, rows.find(key)?.painted ?? "");
  },
  confirmLast: () => rows.asking().length && page.confirm(rows.asking()[0].key),
  async jump(text) {
    queue.jump(await queue.named(text));
    show();
  },
  skip: () => (queue.step(), show()),
  back: () => (queue.back(), show()),
  joint: () => queue.now,
  unread: () => rows.now().unread,
};

async function typeAgain(entry) {
  queue.jump({ line: entry.body.line ?? null, painted: entry.painted, serial: "", shown: "" });
  at("reading").value = entry.body.typed;
  at("reading").focus();
  await outbox.remove(entry);
  show();
}

const putAway = (entry) => outbox.remove(entry).then(show);

// What waited from before the page was loaded is shown as waiting and is not asked for again.
const waited = (await outbox.all()).filter((one) => ours(one) && !one.refused);
rows.restore(waited);
queue.restore(waited);
hands(page, data);
await show();
sender.flush();
document.documentElement.dataset.strap = "ready";
