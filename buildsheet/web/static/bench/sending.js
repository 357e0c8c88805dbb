// One draft to the server. The key makes a second sending harmless: the first answer comes back.
const WAIT_MS = 15000;

export async function deliver(draft) {
  let answer, text;
  try {
    answer = await fetch(draft.where, {
      method: "POST",
      body: draft.body,
      headers: { "Content-Type": "application/x-www-form-urlencoded" },
      signal: AbortSignal.timeout(WAIT_MS),
    });
    text = await answer.text();
  } catch {
    return { outcome: "later" };
  }
  const page = new DOMParser().parseFromString(text, "text/html");
  const stand = page.getElementById("stand");
  if (stand) {
    const kept = (stand.dataset.keys ?? "").split(" ").includes(draft.key);
    return { outcome: kept ? "kept" : "refused", page, address: kept ? answer.url : location.href };
  }
  if (answer.status === 401) return { outcome: "later", words: "Kept here, not yet sent. Sign in again, then it goes out." };
  // Not our page: a server that is down, or somebody between.
  if (answer.status >= 500 || answer.ok || answer.status === 429) return { outcome: "later" };
  const title = page.querySelector("h1")?.textContent ?? "";
  return { outcome: "refused", words: `Refused (${answer.status}). ${title} It stays here.` };
}
