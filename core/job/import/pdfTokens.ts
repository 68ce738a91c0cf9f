/** An operand of a PDF content stream: a number, a name (as "/Name"), or another kind that drawing does not need. */
export type Operand = number | string | null;

const SPACE = new Set([0, 9, 10, 12, 13, 32]);
const DELIMITER = new Set([...("()<>[]{}/%")].map((c) => c.charCodeAt(0)));

/**
 * Reads the operators of a PDF content stream with their operands (ISO 32000-1, 7.2 and 7.8.2; from memory): numbers and names; strings, arrays and
 * dictionaries are passed over as null, inline pictures altogether. `key` of a property list given in line is not looked at.
 */
export function* operators(bytes: Uint8Array): Generator<{ readonly name: string; readonly operands: readonly Operand[] }> {
  let operands: Operand[] = [];
  let i = 0;
  while (i < bytes.length) {
    const c = bytes[i];
    if (SPACE.has(c)) i++;
    else if (c === 0x25) while (i < bytes.length && bytes[i] !== 10 && bytes[i] !== 13) i++;
    else if (c === 0x28) [i] = [endOfString(bytes, i), operands.push(null)];
    else if (c === 0x3c || c === 0x5b) [i] = [endOfNest(bytes, i), operands.push(null)];
    else if (c === 0x2f) {
      const end = endOfWord(bytes, i + 1);
      operands.push(`/${word(bytes, i + 1, end).replace(/#([0-9a-f]{2})/gi, (_, hex: string) => String.fromCharCode(parseInt(hex, 16)))}`);
      i = end;
    } else if (DELIMITER.has(c)) i++;
    else {
      const end = endOfWord(bytes, i);
      const token = word(bytes, i, end);
      i = end;
      const value = c < 0x3a ? Number(token) : NaN;
      if (!Number.isNaN(value)) operands.push(value);
      else {
        if (token === "ID") i = endOfPicture(bytes, i);
        yield { name: token, operands };
        operands = [];
      }
    }
    if (operands.length > 64) operands = operands.slice(-64);
  }
}

function word(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let i = from; i < Math.min(to, from + 200); i++) text += String.fromCharCode(bytes[i]);
  return text;
}

function endOfWord(bytes: Uint8Array, i: number): number {
  while (i < bytes.length && !SPACE.has(bytes[i]) && !DELIMITER.has(bytes[i])) i++;
  return i;
}

function endOfString(bytes: Uint8Array, i: number): number {
  let depth = 0;
  for (; i < bytes.length; i++) {
    if (bytes[i] === 0x5c) i++;
    else if (bytes[i] === 0x28) depth++;
    else if (bytes[i] === 0x29 && --depth === 0) return i + 1;
  }
  return i;
}

/** The end of an array, a dictionary or a hexadecimal string. */
function endOfNest(bytes: Uint8Array, i: number): number {
  let depth = 0;
  while (i < bytes.length) {
    const c = bytes[i];
    if (c === 0x28) {
      i = endOfString(bytes, i);
      continue;
    }
    if (c === 0x5b || c === 0x3c) depth++;
    if ((c === 0x5d || c === 0x3e) && --depth <= 0) return i + 1;
    i++;
  }
  return i;
}

function endOfPicture(bytes: Uint8Array, i: number): number {
  for (; i + 3 < bytes.length; i++) {
    if (SPACE.has(bytes[i]) && bytes[i + 1] === 0x45 && bytes[i + 2] === 0x49 && SPACE.has(bytes[i + 3])) return i + 3;
  }
  return bytes.length;
}
