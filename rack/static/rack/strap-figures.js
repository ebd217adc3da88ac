// Figures as the strap page types and shows them. The server reads every length again; this is for the eye.

// What was typed in whole steps of the last shown figure ("3124" and "31.24" are 3124), or null where
// only the server can say.
export function stepsOf(typed, digits) {
  const text = typed.trim();
  if (/^\d+$/.test(text)) return Number(text);
  const parts = /^(\d+)[.,](\d*)$/.exec(text);
  if (!parts || parts[2].length > digits) return null;
  return Number(parts[1] + parts[2].padEnd(digits, "0"));
}

export function shown(steps, digits) {
  const figures = String(Math.abs(steps)).padStart(digits + 1, "0");
  const whole = figures.slice(0, figures.length - digits).replace(/\B(?=(\d{3})+$)/g, ",");
  return (steps < 0 ? "-" : "") + (digits ? `${whole}.${figures.slice(-digits)}` : whole);
}

// A length as the server shows it, in steps again.
export const stepsShown = (text) => Number((text ?? "").replace(/[,.]/g, ""));

// The painted number that follows: 36 -> 37, 36A -> 37, R-09 -> R-10.
export function numberAfter(painted) {
  const parts = /^(.*?)(\d+)\D*$/.exec(painted);
  if (!parts) return "1";
  return parts[1] + String(Number(parts[2]) + 1).padStart(parts[2].length, "0");
}

// A key for an entry. Without HTTPS a browser has no randomUUID, but it has random numbers.
export function newKey() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}
