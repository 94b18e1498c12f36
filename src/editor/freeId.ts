/** `prefix` + one more than the highest number already written behind that prefix. */
export function freeId(prefix: string, used: Iterable<string>): string {
  let highest = 0;
  for (const id of used) {
    if (!id.startsWith(prefix)) continue;
    const number = Number(id.slice(prefix.length));
    if (Number.isInteger(number) && number > highest) highest = number;
  }
  return `${prefix}${highest + 1}`;
}
