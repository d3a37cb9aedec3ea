// Numbers back from the packed form: see renders/page/pack.py, which is its twin.

// Four bytes in five characters; of the last fewer than four bytes, one character more.
function bytesOf(text) {
  let letters = "";
  for (let code = 33; letters.length < 85; code++) if (!"\"'\\<>&`~".includes(String.fromCharCode(code))) letters += String.fromCharCode(code);
  const value = new Uint8Array(128), lacking = (5 - (text.length % 5)) % 5;
  for (let i = 0; i < 85; i++) value[letters.charCodeAt(i)] = i;
  const whole = text + letters[84].repeat(lacking), bytes = new Uint8Array((whole.length / 5) * 4);
  for (let i = 0, end = 0; i < whole.length; i += 5) {
    let word = 0;
    for (let k = 0; k < 5; k++) word = word * 85 + value[whole.charCodeAt(i + k)];
    for (let k = 3; k >= 0; k--, word = Math.floor(word / 256)) bytes[end + k] = word % 256;
    end += 4;
  }
  return bytes.subarray(0, bytes.length - lacking);
}

// Raw deflate (RFC 1951) undone by the browser; one that cannot (before 2023) throws.
async function inflated(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

// Every table as { frames, values, data }, data row by row, NaN where there is no number.
function tablesOf(index, raw) {
  const tables = {};
  const size = index.reduce((sum, [, frames, values]) => sum + 2 * frames * values, 0);
  if (raw.length !== size) throw new Error("damaged data");
  let at = 0;
  for (const [name, frames, values, step, stride] of index) {
    const count = frames * values;
    const whole = new Int16Array(count), data = new Float32Array(count);
    for (let value = 0; value < values; value++) {
      for (let frame = 0; frame < frames; frame++) {
        const from = at + frame * values + value, folded = raw[from] | (raw[from + count] << 8);
        const change = folded & 1 ? -((folded + 1) >> 1) : folded >> 1;
        // what is kept is the change of the difference to the neighbour: `data` holds it until the rows are summed
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

// What the page shows, and its tables.
async function unpackedPage({ told, packed }) {
  const data = JSON.parse(new TextDecoder().decode(await inflated(bytesOf(told))));
  return [data, tablesOf(data.index, await inflated(bytesOf(packed)))];
}

const PAGE = JSON.parse(document.getElementById("page-data").textContent);
const [DATA, TABLES] = await unpackedPage(PAGE).catch(() => {
  const told = Object.assign(document.createElement("p"), { id: "cannot", className: "panel", textContent: PAGE.cannot, role: "alert" });
  const title = Object.assign(document.createElement("h1"), { id: "title", textContent: document.title });
  document.getElementById("main").replaceChildren(title, told);
  return [];
});
if (!DATA) return;
