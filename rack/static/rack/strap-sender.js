// Sends what waits in the outbox, in order, and lets go of an entry only when the server has answered it.

const AT_ONCE = 20;
const PATIENCE = 20000;
const PAUSES = [1000, 2000, 5000, 10000, 30000];

const csrf = () => /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";

export class Sender {
  // `answered(entry, result)` hears of each entry, `changed(state)` of "sent", "down" and "sign in".
  constructor({ outbox, address, user, answered, changed }) {
    Object.assign(this, { outbox, address, user, answered, changed });
    this.busy = false;
    this.again = false;
    this.pause = 0;
    this.timer = 0;
    for (const wake of ["online", "pageshow"]) window.addEventListener(wake, () => this.flush());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.flush());
  }

  // Entries of this person that are not refused; the same browser may keep another person's.
  async waiting() {
    return (await this.outbox.all()).filter((entry) => entry.user === this.user && !entry.refused);
  }

  async flush() {
    if (this.busy) {
      this.again = true; // a wake-up during a flush must not be lost
      return;
    }
    this.busy = true;
    clearTimeout(this.timer);
    try {
      do {
        this.again = false;
        // Two tabs share the outbox; only one of them sends.
        await (navigator.locks ? navigator.locks.request("tierbook-outbox", () => this.send()) : this.send());
      } while (this.again);
    } finally {
      this.busy = false;
    }
  }

  async send() {
    for (;;) {
      const entries = (await this.waiting()).slice(0, AT_ONCE);
      if (!entries.length) return this.changed("sent");
      const results = await this.post(entries);
      if (typeof results === "string") return this.later(results);
      for (const [place, entry] of entries.entries()) {
        if (!(await this.settle(entry, results[place]))) return this.later("down");
      }
      this.pause = 0;
    }
  }

  // Returns the results, or why there are none.
  async post(entries) {
    try {
      const answer = await fetch(this.address, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-CSRFToken": csrf() },
        body: JSON.stringify(entries.map((entry) => entry.body)),
        signal: AbortSignal.timeout(PATIENCE),
      });
      if (answer.status === 401 || answer.status === 403) return "sign in";
      const results = answer.ok ? await answer.json() : null;
      return Array.isArray(results) && results.length === entries.length ? results : "down";
    } catch {
      return "down";
    }
  }

  async settle(entry, result) {
    if (result.status === "failed") return false;
    const refused = result.status === "refused" || result.status === "conflict";
    if (refused && entry.body.typed) {
      await this.outbox.refuse(entry, result.problems.map((problem) => problem.text).join(" "));
    } else {
      await this.outbox.remove(entry);
    }
    this.answered(entry, result);
    return true;
  }

  later(why) {
    this.changed(why);
    this.again = false;
    if (why === "down") {
      this.timer = setTimeout(() => this.flush(), PAUSES[Math.min(this.pause, PAUSES.length - 1)]);
      this.pause += 1;
    }
  }
}
