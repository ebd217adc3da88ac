// What was typed and is not yet known to be stored, kept in the browser until the server has said so.

const NAME = "tierbook-outbox";
const STORE = "entries";

const done = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

function open() {
  const request = indexedDB.open(NAME, 1);
  request.onupgradeneeded = () => {
    request.result.createObjectStore(STORE, { keyPath: "n", autoIncrement: true });
  };
  return done(request);
}

export async function openOutbox() {
  try {
    return new Outbox(await open());
  } catch {
    return new Outbox(null); // a browser that keeps nothing: the page says so
  }
}

class Outbox {
  constructor(database) {
    this.database = database;
    this.memory = [];
    this.last = 0;
  }

  get safe() {
    return this.database !== null && this.memory.length === 0;
  }

  // The promise holds when the entry lies on the disk, or in the page alone where the disk refuses.
  async put(entry) {
    try {
      entry.n = await this.write((store) => store.add(entry));
    } catch {
      entry.n = `m${(this.last += 1)}`;
      this.memory.push(entry);
    }
    return entry;
  }

  async all() {
    const kept = this.database ? await done(this.database.transaction(STORE).objectStore(STORE).getAll()) : [];
    return [...kept, ...this.memory];
  }

  async remove(entry) {
    this.memory = this.memory.filter((one) => one.n !== entry.n);
    if (typeof entry.n === "number") await this.write((store) => store.delete(entry.n));
  }

  // The server refused it: it stays, with the reason, until a person puts it away.
  async refuse(entry, why) {
    entry.refused = why;
    if (typeof entry.n === "number") await this.write((store) => store.put(entry));
    else this.memory = this.memory.map((one) => (one.n === entry.n ? entry : one));
  }

  write(act) {
    if (!this.database) return Promise.reject(new Error("nothing is kept here"));
    return new Promise((resolve, reject) => {
      const transaction = this.database.transaction(STORE, "readwrite", { durability: "strict" });
      const request = act(transaction.objectStore(STORE));
      transaction.oncomplete = () => resolve(request.result);
      transaction.onabort = transaction.onerror = () => reject(transaction.error);
    });
  }
}
