// What the page says of the entries that wait: how many, why, and what to do.

const entries = (n) => (n === 1 ? "1 entry waits" : `${n} entries wait`);
const will = (n) => (n === 1 ? "is sent by itself" : "are sent by themselves");

export function words(state, waiting, others, safe) {
  const parts = [];
  if (waiting && state === "down") parts.push(`No answer from the server. ${entries(waiting)} in this browser and ${will(waiting)}. Go on reading.`);
  else if (waiting && state === "sign in") parts.push(`You are signed out. ${entries(waiting)} in this browser.`);
  if (waiting && !safe) parts.push("This browser keeps nothing on its disk: leave the page open until everything is stored.");
  for (const [who, n] of others) parts.push(`${entries(n)} here from ${who}, who has to sign in on this browser to send them.`);
  return parts.join(" ");
}

// How many entries of other people lie in this browser, by name.
export function othersIn(all, user) {
  const found = new Map();
  for (const entry of all) if (entry.user !== user) found.set(entry.who, (found.get(entry.who) ?? 0) + 1);
  return [...found];
}
