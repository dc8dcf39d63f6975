// What was typed and is not in the record yet: kept in the browser's own store, in order.
// An entry counts as kept when its transaction is complete.

const NAME = "oilwedge";
const asked = (request) => new Promise((done, failed) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => failed(request.error);
});
const ended = (transaction) => new Promise((done, failed) => {
  transaction.oncomplete = () => done();
  transaction.onabort = () => failed(transaction.error);
  transaction.onerror = () => failed(transaction.error);
});

class StoredQueue {
  constructor(database) {
    this.database = database;
    this.lasting = true;
    database.onversionchange = () => database.close();
  }
  writing(store) {
    return this.database.transaction(store, "readwrite", { durability: "strict" });
  }
  async add(record) {
    if (!this.asked && navigator.storage?.persist) {
      this.asked = true;
      navigator.storage.persist().catch(() => {});  // so that the browser makes no room here
    }
    const transaction = this.writing("entries");
    const request = transaction.objectStore("entries").add(record);
    await ended(transaction);
    return { ...record, seq: request.result };
  }
  async all() {
    return asked(this.database.transaction("entries").objectStore("entries").getAll());
  }
  async put(record) {
    const transaction = this.writing("entries");
    transaction.objectStore("entries").put(record);
    await ended(transaction);
  }
  // Changes a record only if it is still there: another tab may have settled it.
  async change(seq, patch) {
    const transaction = this.writing("entries");
    const store = transaction.objectStore("entries");
    const there = await asked(store.get(seq));
    if (there) store.put({ ...there, ...patch });
    await ended(transaction);
  }
  async remove(seq) {
    const transaction = this.writing("entries");
    transaction.objectStore("entries").delete(seq);
    await ended(transaction);
  }
  async savePlan(plan) {
    const transaction = this.writing("plans");
    transaction.objectStore("plans").put({ ...plan, key: `${plan.account}/${plan.job}`, saved: Date.now() });
    await ended(transaction);
  }
  async plan(account, job) {
    return asked(this.database.transaction("plans").objectStore("plans").get(`${account}/${job}`));
  }
  async plans() {
    return asked(this.database.transaction("plans").objectStore("plans").getAll());
  }
}

// Where the browser gives no store (private windows, blocked): for this page only.
class PassingQueue {
  constructor() {
    this.lasting = false;
    this.records = [];
    this.seq = 0;
  }
  async add(record) {
    this.seq += 1;
    const kept = { ...record, seq: this.seq };
    this.records.push(kept);
    return kept;
  }
  async all() { return [...this.records]; }
  async put(record) { this.records = this.records.map((one) => (one.seq === record.seq ? record : one)); }
  async change(seq, patch) { this.records = this.records.map((one) => (one.seq === seq ? { ...one, ...patch } : one)); }
  async remove(seq) { this.records = this.records.filter((one) => one.seq !== seq); }
  async savePlan() { /* nothing lasts here */ }
  async plan() { return undefined; }
  async plans() { return []; }
}

export async function openQueue() {
  try {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
      request.result.createObjectStore("plans", { keyPath: "key" });
    };
    const opened = await asked(request);
    return new StoredQueue(opened);
  } catch {
    return new PassingQueue();
  }
}

// What was sent long ago, or by somebody else, is in the record; it is of no use here any more.
export async function clearOld(queue, records, account) {
  const old = Date.now() - 2 * 86400000;
  for (const one of records) {
    if (one.state === "stored" && (one.account !== account || Date.parse(one.body.device_time) < old)) await queue.remove(one.seq);
  }
}
