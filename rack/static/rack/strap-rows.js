// The readings of this page, newest first, and the sums with those that still wait.
import { shown, stepsOf, stepsShown } from "./strap-figures.js";

const GONE = new Set(["taken back", "read again"]);

export class Rows {
  constructor(data) {
    this.digits = data.digits;
    this.rows = data.last.map((row) => ({ ...row, counted: !GONE.has(row.state), steps: stepsShown(row.shown) }));
    for (const row of data.asking) if (!this.find(row.key)) this.rows.push({ ...row, counted: true, steps: stepsShown(row.shown), old: true });
    this.sums = { count: data.count, steps: stepsShown(data.total), unread: data.unread };
  }

  find(key) {
    return this.rows.find((row) => row.key === key);
  }

  stands(row) {
    return row && !GONE.has(row.state);
  }

  last() {
    return this.rows.find((row) => this.stands(row) && !row.old);
  }

  asking() {
    return this.rows.filter((row) => row.state === "asks" && row.questions?.length);
  }

  // A reading as it is typed: what it replaces is read again.
  add(entry) {
    const steps = stepsOf(entry.body.typed, this.digits);
    const row = {
      key: entry.body.key, line: entry.body.line ?? null, painted: entry.painted, steps, counted: false,
      shown: steps === null ? entry.body.typed : shown(steps, this.digits), state: "waits", questions: [],
    };
    const before = this.rows.find((one) => this.stands(one) && this.same(one, row));
    if (before) before.state = "read again";
    this.rows.unshift(row);
    return row;
  }

  same(one, other) {
    return one.line && other.line ? one.line === other.line : one.painted === other.painted;
  }

  takeBack(key) {
    const row = this.find(key);
    if (row) row.state = "taken back";
    return row;
  }

  // Entries that waited when the page was loaded.
  restore(entries) {
    for (const { body, painted } of entries) {
      if (body.typed && !this.find(body.key)) this.add({ body, painted });
      if (body.takes_back) this.takeBack(body.takes_back);
      if (body.confirms) this.confirm(body.confirms);
    }
  }

  // What the server says of an entry.
  answer(entry, result) {
    const { typed, key, takes_back: back, confirms } = entry.body;
    const row = this.find(typed ? key : (back ?? confirms));
    if (result.count !== null) this.sums = { count: result.count, steps: stepsShown(result.total), unread: result.unread };
    if (!row) return;
    if (typed) this.read(row, result);
    else if (back) row.counted = false;
  }

  read(row, result) {
    if (result.status === "refused" || result.status === "conflict") {
      this.rows.splice(this.rows.indexOf(row), 1);
      return;
    }
    Object.assign(row, { line: result.line, painted: result.painted || row.painted, counted: true });
    if (result.shown) Object.assign(row, { shown: result.shown, steps: stepsShown(result.shown) });
    for (const one of this.rows) if (one !== row && one.line === row.line && !this.stands(one)) one.counted = false;
    row.questions = result.questions;
    if (row.state === "waits") row.state = result.questions.length ? "asks" : "";
  }

  confirm(key) {
    const row = this.find(key);
    if (row) row.state = "confirmed";
  }

  // Count and total with what waits; a length that only the server can read is not in the total yet.
  now() {
    const now = { ...this.sums };
    for (const row of this.rows) {
      const by = this.stands(row) === row.counted ? 0 : row.counted ? -1 : 1;
      now.count += by;
      if (row.line) now.unread -= by; // a new number was no unread line before
      now.steps += by * (row.steps ?? 0);
    }
    now.unread = Math.max(now.unread, 0);
    now.total = shown(now.steps, this.digits);
    now.average = now.count ? shown(Math.round(now.steps / now.count), this.digits) : "–";
    return now;
  }
}
