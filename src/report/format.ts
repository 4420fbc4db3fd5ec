// All numbers that people read go through here, on the page, in the report and in the terminal.

/** Digits in groups of three, with a real minus sign. */
function grouped(text: string): string {
  const [whole = "", fraction] = text.replace("-", "").split(".");
  const groups = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ",");
  const sign = text.startsWith("-") && /[1-9]/.test(text) ? "−" : "";
  return `${sign}${groups}${fraction === undefined ? "" : `.${fraction}`}`;
}

/**
 * An amount of money to three significant digits, never finer than 1.
 * @example moneyText(20316.4) // "20,300"
 */
export function moneyText(amount: number): string {
  if (!Number.isFinite(amount)) return "not a number";
  const size = Math.abs(amount);
  let unit = 1;
  while (unit * 1000 <= size) unit *= 10;
  return grouped(String(Math.round(amount / unit) * unit));
}

/** An amount of money to whole units, for tables in which sums must add up. */
export function exactMoneyText(amount: number): string {
  return Number.isFinite(amount) ? grouped(amount.toFixed(0)) : "not a number";
}

/**
 * A number to three significant digits, without zeros behind the point and without an exponent.
 * @example significantText(0.0124999) // "0.0125"
 */
export function significantText(value: number): string {
  if (!Number.isFinite(value)) return "not a number";
  const size = Math.abs(value);
  let digits = 2;
  for (let bound = 10; bound <= size && digits > 0; bound *= 10) digits -= 1;
  for (let bound = 1; size > 0 && size < bound && digits < 20; bound /= 10) digits += 1;
  if (size >= 1000) return moneyText(value);
  const text = value.toFixed(digits);
  return grouped(text.includes(".") ? text.replace(/\.?0+$/, "") : text);
}

/**
 * QALYs or life years to 3 decimals, to 4 where they are under 0.001.
 * @example effectText(0.0612) // "0.061"
 */
export function effectText(amount: number): string {
  if (!Number.isFinite(amount)) return "not a number";
  const small = Math.abs(amount) < 0.001 && amount !== 0;
  return grouped(amount.toFixed(small ? 4 : 3));
}

/**
 * A share in whole percent, "over 99%" and "under 1%" near the ends.
 * @example shareText(0.996) // "over 99%"
 */
export function shareText(share: number): string {
  if (share > 0 && share < 0.01) return "under 1%";
  if (share < 1 && share > 0.99) return "over 99%";
  return `${Math.round(share * 100)}%`;
}

/**
 * A count per 1,000 people: whole from 10 on, one decimal from 1, two below.
 * @example countText(0.0123) // "0.01"
 */
export function countText(count: number): string {
  if (!Number.isFinite(count)) return "not a number";
  const size = Math.abs(count);
  return grouped(count.toFixed(size >= 10 || count === 0 ? 0 : size >= 1 ? 1 : 2));
}

/** A duration in words: `20 years`, `6 months`, `75 years`. */
export function yearsText(years: number): string {
  const months = Math.round(years * 12);
  if (Math.abs(years - Math.round(years)) < 1e-9)
    return `${Math.round(years)} ${Math.round(years) === 1 ? "year" : "years"}`;
  if (Math.abs(years * 12 - months) < 1e-6) return `${months} ${months === 1 ? "month" : "months"}`;
  return `${Number(years.toFixed(2))} years`;
}

/** A list in words: `a, b and c`. */
export function listText(items: readonly string[]): string {
  if (items.length < 2) return items[0] ?? "";
  return `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}

/** The first letter in upper case. */
export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
