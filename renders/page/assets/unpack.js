// Numbers back from the packed form: see renders/page/pack.py, which is its twin.

const DATA = JSON.parse(document.getElementById("page-data").textContent);

// Four bytes in five characters.
function bytesOf(text) {
  const value = new Uint8Array(128), bytes = new Uint8Array((text.length / 5) * 4);
  for (let code = 33, at = 0; code < 127 && at < 85; code++) if (!"\"'\\<>&`~".includes(String.fromCharCode(code))) value[code] = at++;
  for (let i = 0, end = 0; i < text.length; i += 5) {
    let word = 0;
    for (let k = 0; k < 5; k++) word = word * 85 + value[text.charCodeAt(i + k)];
    for (let k = 3; k >= 0; k--, word = Math.floor(word / 256)) bytes[end + k] = word % 256;
    end += 4;
  }
  return bytes;
}

// Raw deflate (RFC 1951). Browsers have one of their own, but only since 2023 everywhere and only with a wait.
function inflate(input, size) {
  const out = new Uint8Array(size);
  let at = 0, hold = 0, held = 0, end = 0;
  function bits(count) {
    while (held < count) {
      hold |= input[at++] << held;
      held += 8;
    }
    const value = hold & ((1 << count) - 1);
    hold >>>= count;
    held -= count;
    return value;
  }
  function codes(lengths) {
    const counts = new Uint16Array(16), next = new Uint16Array(16), symbols = new Uint16Array(lengths.length);
    for (const length of lengths) counts[length]++;
    counts[0] = 0;
    for (let i = 1; i < 16; i++) next[i] = next[i - 1] + counts[i - 1];
    lengths.forEach((length, symbol) => { if (length) symbols[next[length]++] = symbol; });
    return { counts, symbols };
  }
  function symbol(table) {
    let code = 0, first = 0, index = 0;
    for (let length = 1; length < 16; length++) {
      code |= bits(1);
      const count = table.counts[length];
      if (code - count < first) return table.symbols[index + (code - first)];
      index += count;
      first = (first + count) << 1;
      code <<= 1;
    }
    throw new Error("damaged data");
  }
  const BASE = [3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258];
  const MORE = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0];
  const FAR = [1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097, 6145, 8193, 12289, 16385, 24577];
  const FARTHER = [0, 0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10, 10, 11, 11, 12, 12, 13, 13];
  const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
  const fixed = new Array(288).fill(8).fill(9, 144, 256).fill(7, 256, 280);
  function block(literal, distance) {
    for (;;) {
      const value = symbol(literal);
      if (value === 256) return;
      if (value < 256) {
        out[end++] = value;
        continue;
      }
      const length = BASE[value - 257] + bits(MORE[value - 257]);
      const code = symbol(distance), back = FAR[code] + bits(FARTHER[code]);
      for (let i = 0; i < length; i++, end++) out[end] = out[end - back];
    }
  }
  let last = 0;
  while (!last) {
    last = bits(1);
    const kind = bits(2);
    if (kind === 0) {
      hold = 0;
      held = 0;
      const length = input[at] | (input[at + 1] << 8);
      at += 4;
      out.set(input.subarray(at, at + length), end);
      at += length;
      end += length;
    } else if (kind === 1) {
      block(codes(fixed), codes(new Array(30).fill(5)));
    } else if (kind === 2) {
      const literals = bits(5) + 257, distances = bits(5) + 1, count = bits(4) + 4;
      const small = new Array(19).fill(0);
      for (let i = 0; i < count; i++) small[ORDER[i]] = bits(3);
      const table = codes(small), lengths = [];
      while (lengths.length < literals + distances) {
        const value = symbol(table);
        if (value < 16) lengths.push(value);
        else if (value === 16) lengths.push(...new Array(bits(2) + 3).fill(lengths[lengths.length - 1]));
        else lengths.push(...new Array(value === 17 ? bits(3) + 3 : bits(7) + 11).fill(0));
      }
      block(codes(lengths.slice(0, literals)), codes(lengths.slice(literals)));
    } else throw new Error("damaged data");
  }
  return out;
}

// Every table as { frames, values, data }, data row by row, NaN where there is no number.
function tablesOf(index, text) {
  const size = index.reduce((sum, [, frames, values]) => sum + 2 * frames * values, 0);
  const raw = inflate(bytesOf(text), size), tables = {};
  let at = 0;
  for (const [name, frames, values, step, stride] of index) {
    const count = frames * values;
    const whole = new Int16Array(count), data = new Float32Array(count);
    for (let value = 0; value < values; value++) {
      for (let frame = 0; frame < frames; frame++) {
        const from = at + frame * values + value, folded = raw[from] | (raw[from + count] << 8);
        const change = folded & 1 ? -((folded + 1) >> 1) : folded >> 1;
        // what is told is the change of the difference to the neighbour: `data` holds it until the rows are summed
        data[frame * values + value] = change + (stride && value >= stride ? data[frame * values + value - stride] : 0);
      }
    }
    for (let i = 0; i < count; i++) {
      whole[i] = data[i] + (i >= values ? whole[i - values] : 0);
      data[i] = whole[i] === -32768 ? NaN : whole[i] * step;
    }
    at += 2 * count;
    tables[name] = { frames, values, data };
  }
  return tables;
}

const TABLES = tablesOf(DATA.index, DATA.packed);
