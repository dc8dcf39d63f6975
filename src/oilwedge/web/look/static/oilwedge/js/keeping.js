// Tells the service worker what to keep for a start without a network; says when there is none.

export async function keepForOffline({ worker, account }) {
  if (!window.isSecureContext || !navigator.serviceWorker) return false;
  try {
    await navigator.serviceWorker.register(worker, { scope: "/" });
    const ready = await navigator.serviceWorker.ready;
    const loaded = performance.getEntriesByType("resource").map((one) => one.name).filter((one) => new URL(one).pathname.startsWith("/static/"));
    if (ready.active) ready.active.postMessage({ kind: "keep", account: String(account), addresses: [...new Set([...loaded, location.href])] });
    return true;
  } catch {
    return false;
  }
}
