// Unsent readings as a file: for a device whose connection does not come back.

export function saveUnsent(job, records) {
  const entries = records.filter((one) => one.job === job && one.state !== "stored").map((one) => one.body);
  const file = { format: "oilwedge unsent readings 1", job, device_now: new Date().toISOString(), entries };
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(file, null, 1)], { type: "application/json" }));
  link.download = `unsent-${job}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
