// Sends what waits, in order, once. The server knows each id, so that sending twice does no harm;
// a lock keeps two tabs from doing it at the same time.

const MOST = 50;
const PATIENCE_MS = 12000;
const LONGEST_WAIT_MS = 60000;

const token = () => (document.cookie.split("; ").find((one) => one.startsWith("csrftoken=")) || "").slice(10);
const zoned = () => new Date().toISOString();

export async function request(address, options = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    return await fetch(address, { credentials: "same-origin", ...options, signal: stop.signal, headers: { Accept: "application/json", ...(options.headers || {}) } });
  } finally {
    clearTimeout(timer);
  }
}

export class Sender {
  // told(state): "sent", "offline", "session over", "busy" with a sentence; changed(): the queue did
  constructor({ queue, account, told, changed }) {
    Object.assign(this, { queue, account, told, changed });
    this.wait = 1000;
    this.timer = 0;
    this.running = null;
    this.again = false;
    window.addEventListener("online", () => this.now());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.now();
    });
  }
  now() {
    clearTimeout(this.timer);
    if (this.running) {
      this.again = true;
      return this.running;
    }
    this.running = this.locked().catch(() => this.later("busy", "Sending failed in this browser. It is tried again.")).finally(() => {
      this.running = null;
      if (this.again) {
        this.again = false;
        this.now();
      }
    });
    return this.running;
  }
  locked() {
    if (!navigator.locks) return this.everything();
    return navigator.locks.request("oilwedge-sending", () => this.everything());
  }
  later(state, sentence) {
    this.told(state, sentence);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), this.wait * (0.75 + Math.random() / 2));
    this.wait = Math.min(this.wait * 2, LONGEST_WAIT_MS);
  }
  async everything() {
    let size = MOST;
    const passedOver = new Set();
    for (;;) {
      const waiting = (await this.queue.all()).filter((one) => one.state === "waiting" && one.account === this.account && !passedOver.has(one.job));
      if (!waiting.length) break;
      const { job } = waiting[0];
      const batch = waiting.filter((one) => one.job === job).slice(0, size);
      const answer = await this.send(job, batch);
      if (answer === "smaller") {
        if (batch.length === 1) await this.queue.change(batch[0].seq, { state: "refused", sentence: "The server cannot read this entry." });
        size = Math.max(1, Math.floor(batch.length / 2));
      } else if (answer === "pass over") {
        passedOver.add(job);
      } else if (answer !== "on") {
        return;
      }
      await this.changed();
    }
    if (passedOver.size) return;
    this.wait = 1000;
    this.told("sent", "");
  }
  async send(job, batch) {
    let response;
    let answer;
    try {
      response = await request(`/jobs/${encodeURIComponent(job)}/entries`, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-CSRFToken": token() },
        body: JSON.stringify({ device_now: zoned(), entries: batch.map((one) => one.body) }),
      });
      answer = await response.json().catch(() => ({}));
    } catch {
      this.later("offline", "");
      return "stop";
    }
    if (response.ok && Array.isArray(answer.outcomes)) {
      await this.settle(batch, answer);
      return "on";
    }
    if (response.status === 401) {
      this.later("session over", answer.sentence || "Your session is over. What you typed is kept here; log in to send it.");
      return "stop";
    }
    if (response.status === 400 || response.status === 413) return "smaller";
    if (response.status === 404 || response.status === 403) {
      this.later("busy", answer.sentence || `Job ${job} is not there for you. What you typed is kept here.`);
      return response.status === 404 ? "pass over" : "stop";
    }
    this.later("busy", answer.sentence || "The shop's machine did not answer as it should. What you typed is kept here and sent again.");
    return "stop";
  }
  async settle(batch, answer) {
    const found = new Map(answer.outcomes.map((one) => [one.id, one]));
    let moved = false;
    for (const record of batch) {
      const settled = found.get(record.id);
      if (!settled) continue;
      moved = true;
      const { outcome, sentence } = settled;
      if (outcome === "stored" || outcome === "already there") await this.queue.change(record.seq, { state: "stored", count: answer.count, sentence: "" });
      else if (outcome === "ask back") await this.queue.change(record.seq, { state: "asked", sentence });
      else if (outcome === "other author") await this.queue.change(record.seq, { state: "other", sentence });
      else await this.queue.change(record.seq, { state: outcome === "parked" ? "parked" : "refused", sentence });
    }
    if (!moved) throw new Error("the answer names none of what was sent");
  }
}
