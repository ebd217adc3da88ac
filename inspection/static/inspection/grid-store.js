// What was typed in a grid, kept on the disk of this browser until the server has said that it is stored.

const NAME = "tierbook-grid";
const STORE = "sheets";

const done = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

export async function openStore() {
  try {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "sheet" });
    return new Store(await done(request));
  } catch {
    return new Store(null); // a browser that keeps nothing: the page says so
  }
}

class Store {
  constructor(database) {
    this.database = database;
    this.writing = null;
    this.next = null;
  }

  get safe() {
    return this.database !== null;
  }

  async all() {
    if (!this.database) return [];
    return done(this.database.transaction(STORE).objectStore(STORE).getAll());
  }

  async one(sheet) {
    if (!this.database) return undefined;
    return done(this.database.transaction(STORE).objectStore(STORE).get(sheet));
  }

  // Holds when the newest state lies on the disk. Typing is faster than a disk: what comes while one write is
  // on its way is written together after it.
  keep(entry) {
    if (!this.database) return Promise.resolve();
    this.next = structuredClone(entry);
    if (!this.writing) {
      this.writing = this.drain().finally(() => {
        this.writing = null;
      });
    }
    return this.writing;
  }

  async drain() {
    while (this.next) {
      const entry = this.next;
      this.next = null;
      await this.write((store) => store.put(entry));
    }
  }

  async remove(sheet) {
    this.next = null;
    if (this.writing) await this.writing;
    if (this.database) await this.write((store) => store.delete(sheet));
  }

  write(act) {
    return new Promise((resolve, reject) => {
      const transaction = this.database.transaction(STORE, "readwrite", { durability: "strict" });
      act(transaction.objectStore(STORE));
      transaction.oncomplete = () => resolve();
      transaction.onabort = transaction.onerror = () => reject(transaction.error);
    });
  }
}
