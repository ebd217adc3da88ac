// Which joint comes next: the unread lines in order, then those that were left out, then new numbers.
import { numberAfter } from "./strap-figures.js";

const FEW = 15;
const MANY = 200;

export class Queue {
  constructor(data) {
    this.address = data.state;
    this.find = data.find;
    this.coming = data.coming;
    this.more = data.coming.length > 0;
    this.grows = data.grows;
    this.follows = data.follows; // the number for one more joint at the end
    this.now = data.now;
    this.done = new Set(); // lines and numbers that were read on this page, sent or not
    this.earlier = []; // what was gone past, for the way back
  }

  static name(joint) {
    return joint.line ?? `new ${joint.painted}`;
  }

  // Joints whose readings waited when the page was loaded are not asked for again.
  restore(entries) {
    const back = new Set(entries.map((entry) => entry.body.takes_back));
    for (const { body, painted } of entries) {
      if (body.typed && !back.has(body.key)) this.done.add(body.line ?? `new ${painted}`);
    }
    if (this.now && this.done.has(Queue.name(this.now))) this.step();
  }

  read() {
    this.done.add(Queue.name(this.now));
    if (!this.now.line) this.follows = numberAfter(this.now.painted);
    this.step();
  }

  step() {
    const left = this.now;
    if (left) this.earlier.push(left);
    this.coming = this.coming.filter((joint) => !this.done.has(Queue.name(joint)));
    if (left && !left.line && !this.done.has(Queue.name(left))) this.follows = numberAfter(left.painted);
    this.now = this.coming.shift() ?? this.leftOut(left) ?? (this.grows ? this.oneMore() : null);
  }

  // The first joint that was gone past unread, other than the one just left.
  leftOut(left) {
    const unread = (joint) => joint.line && !joint.shown && !this.done.has(Queue.name(joint));
    return this.earlier.find((joint) => unread(joint) && joint.line !== left?.line) ?? null;
  }

  oneMore() {
    return { line: null, painted: this.follows, serial: "", shown: "" };
  }

  back() {
    const joint = this.earlier.pop();
    if (joint) this.jump(joint);
  }

  // To another joint; the one in hand comes again after it.
  jump(joint) {
    if (this.now?.line && !this.done.has(Queue.name(this.now)) && this.now.line !== joint.line) {
      this.coming.unshift(this.now);
    }
    this.coming = this.coming.filter((one) => Queue.name(one) !== Queue.name(joint));
    this.now = joint;
  }

  // The joint with this number: of the lines at hand, else as the server knows it, else a new one.
  async named(text) {
    const same = (joint) => joint.painted.toUpperCase() === text.toUpperCase();
    const known = this.coming.find(same) ?? this.earlier.find((joint) => joint.line && same(joint));
    if (known) return known;
    const answer = await ask(`${this.find}?joint=${encodeURIComponent(text)}`);
    return answer?.found ?? { line: null, painted: text, serial: "", shown: "" };
  }

  // Keep enough lines at hand for a stretch without a connection; at the end, look for what was left unread.
  async fill(unread) {
    if (this.coming.length > FEW || !unread) return;
    const last = this.coming.at(-1) ?? this.now;
    const answer = await ask(`${this.address}?most=${MANY}&after=${(this.more && last?.line) || 0}`);
    if (!answer) return;
    this.more = answer.coming.length === MANY;
    const here = new Set([...this.coming, ...this.earlier, this.now ?? {}].map((joint) => joint.line));
    this.coming.push(...answer.coming.filter((joint) => !here.has(joint.line) && !this.done.has(joint.line)));
    if (!this.now) this.step();
  }
}

async function ask(address) {
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" } });
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}
