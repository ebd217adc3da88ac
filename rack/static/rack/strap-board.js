// Draws the strap page: the joint in hand, the last readings, the questions, the sums, the list.

const LAST = 10;
const QUESTIONS = 3;
const at = (id) => document.getElementById(id);
const shape = (id) => at(id).content.firstElementChild.cloneNode(true);

// Without a connection the lines at hand may end before the tally does.
const ended = (unread) => (unread ? "The next joints are on their way" : "Every line is read");

export class Board {
  constructor(here, unit) {
    this.here = here;
    this.unit = unit;
    this.asked = "";
  }

  draw(rows, queue) {
    this.joint(queue.now, rows.now().unread);
    at("last").replaceChildren(...rows.rows.filter((row) => !row.old).slice(0, LAST).map((row) => this.row(row, rows)));
    this.questions(rows.asking());
    const now = rows.now();
    for (const name of ["count", "total", "average", "unread"]) at(name).textContent = now[name];
    at("so-far").textContent = `${now.count} read, ${now.total} ${this.unit}`;
    for (const row of rows.rows) if (row.state === "waits") this.cell(row.line, row.shown);
    const coming = queue.coming.slice(0, 5).map((joint) => joint.painted || joint.serial);
    at("coming").textContent = coming.length ? `Then ${coming.join(", ")}.` : "";
  }

  joint(joint, unread) {
    const head = at("joint");
    const which = joint?.telescopes ? ", open or closed?" : "";
    const serial = joint && !joint.line ? "new, at the end of the list" : (joint?.serial ?? "") + which;
    head.querySelector("b").textContent = joint ? `Joint ${joint.painted || joint.serial}` : ended(unread);
    head.querySelector("[data-serial]").textContent = serial;
    at("was").textContent = joint?.shown ? `Read before: ${joint.shown}. A new reading takes its place.` : "";
    for (const line of document.querySelectorAll("#sheet tr.here")) {
      line.classList.remove("here");
      line.removeAttribute("aria-current");
    }
    const line = joint?.line && document.querySelector(`#sheet tr[data-line="${joint.line}"]`);
    if (!line) return;
    line.classList.add("here");
    line.setAttribute("aria-current", "true");
  }

  cell(line, shown) {
    const cell = line && document.querySelector(`#sheet tr[data-line="${line}"] td`);
    if (cell) cell.textContent = shown;
  }

  row(row, rows) {
    const item = shape("row-shape");
    const stands = rows.stands(row);
    item.dataset.key = row.key;
    item.classList.toggle("taken-back", !stands);
    item.querySelector(".number").textContent = row.painted;
    item.querySelector(".length").textContent = row.shown;
    item.querySelector("[data-state]").textContent = row.state;
    item.querySelector("[data-number]").textContent = row.painted;
    if (!stands) item.querySelector("form").remove();
    return item;
  }

  // Drawn again only when they are others, so that a button is not taken from under a finger.
  questions(asking) {
    const keys = asking.map((row) => row.key).join();
    if (keys === this.asked) return;
    this.asked = keys;
    const more = asking.length - QUESTIONS;
    at("more-asking").textContent = more > 0 ? `${more} more ask; they come up when these are answered.` : "";
    const items = asking.slice(0, QUESTIONS).map((row) => {
      const item = shape("question-shape");
      item.dataset.key = row.key;
      item.querySelector("[data-number]").textContent = row.painted;
      item.querySelector("[data-text]").textContent = row.questions.map((one) => one.text).join(" ");
      item.querySelector("[data-shown]").textContent = row.shown;
      return item;
    });
    at("asking").replaceChildren(...items);
  }

  refused(entries, again, drop) {
    const items = entries.map((entry) => {
      const item = shape("refused-shape");
      item.querySelector("[data-text]").textContent = `Joint ${entry.painted}, typed ${entry.body.typed}: ${entry.refused}`;
      item.querySelector("[data-again]").addEventListener("click", () => again(entry));
      item.querySelector("[data-drop]").addEventListener("click", () => drop(entry));
      return item;
    });
    at("refused").replaceChildren(...items);
  }

  // The page of fifty as the server adds it up, once everything is stored.
  async sheet(line) {
    try {
      const answer = await fetch(`${this.here}?sheet=${line ?? ""}`);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const sheet = answer.ok && page.getElementById("sheet");
      if (!sheet) return false;
      at("sheet").replaceWith(sheet);
      return true;
    } catch {
      return false;
    }
  }
}
