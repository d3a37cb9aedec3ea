// The mouth at a moment: lines in mm of the head (x to the back, y up), as renders/page/outlines.py packs them, and where
// what moves as one piece stands.

const LETTERS = ["a_", "b_"];
const limited = (value, low = 0, high = 1) => Math.min(Math.max(value, low), high);
const mix = (a, b, share) => a + share * (b - a);

// A row of a table at a position between its frames; where one of the two has no number, that of the other.
function mixed(table, position) {
  const { data, values, frames } = table, at = limited(position, 0, frames - 1), first = Math.min(Math.floor(at + 1e-6), frames - 1);
  const share = at - first, a = first * values, b = Math.min(first + 1, frames - 1) * values, out = new Float32Array(values);
  for (let i = 0; i < values; i++) {
    const from = data[a + i], to = data[b + i];
    out[i] = share < 1e-4 ? from : from !== from ? to : to !== to ? from : mix(from, to, share);
  }
  return out;
}

// Between two frames by a cubic through four of them: half as far off as a straight line.
function curved(table, position) {
  const { data, values, frames } = table, first = Math.floor(position + 1e-6), share = position - first;
  if (Math.abs(share) < 1e-4 || first < 1 || first + 2 >= frames) return mixed(table, position);
  const out = new Float32Array(values), at = first * values;
  const a = (-share * (share - 1) * (share - 2)) / 6, b = ((share + 1) * (share - 1) * (share - 2)) / 2;
  const c = (-(share + 1) * share * (share - 2)) / 2, d = ((share + 1) * share * (share - 1)) / 6;
  for (let i = 0; i < values; i++) {
    out[i] = a * data[at - values + i] + b * data[at + i] + c * data[at + values + i] + d * data[at + 2 * values + i];
  }
  return out;
}

function rowOf(table, position) {
  const at = limited(Math.floor(position + 1e-6), 0, table.frames - 1) * table.values;
  return table.data.subarray(at, at + table.values);
}

// A line of `count` points of which only those numbered `kept` are packed: the others lie straight between them.
function opened(points, kept, count) {
  const out = new Float32Array(2 * count);
  for (let k = 1; k < kept.length; k++) {
    const a = kept[k - 1], b = kept[k];
    for (let i = a; i <= b; i++) {
      out[2 * i] = mix(points[2 * k - 2], points[2 * k], (i - a) / (b - a));
      out[2 * i + 1] = mix(points[2 * k - 1], points[2 * k + 1], (i - a) / (b - a));
    }
  }
  return kept.length > 1 ? out : points;
}

const parted = (points, count, each = points.length / count) =>
  Array.from({ length: count }, (_, n) => points.subarray(n * each, (n + 1) * each));

function moved(points, [a, b, c, d, e, f]) {
  const out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    out[i] = a * points[i] + c * points[i + 1] + e;
    out[i + 1] = b * points[i] + d * points[i + 1] + f;
  }
  return out;
}

const framesTo = (half, time) => (time - HALVES[half].offset) * DATA.rate;
const signalAt = (half, name, time) => mixed(TABLES[LETTERS[half] + name], time * DATA.signal_rate)[0];

// The matrices that carry pieces from rest to where they stand, as a canvas takes them.
function placesAt(half, time, [x, y]) {
  const { hinge: [hx, hy], radians_per_mm } = DATA.rig, angle = signalAt(half, "jaw", time) * radians_per_mm;
  const c = Math.cos(angle), s = Math.sin(angle);
  return {
    head: [1, 0, 0, 1, 0, 0],
    jaw: [c, s, -s, c, hx - c * hx + s * hy, hy - s * hx - c * hy],
    larynx: [1, 0, 0, 1, 0, signalAt(half, "larynx", time)],
    hyoid: [1, 0, 0, 1, x, y],
  };
}

// Everything that ink is laid along, at a time in seconds on the half's own clock.
function shapeAt(half, time) {
  const prefix = LETTERS[half], position = framesTo(half, time), lines = {}, kept = {}, samples = {};
  for (const [name, [count, several, every, whole]] of Object.entries(DATA.lines.bent)) {
    const points = curved(TABLES[prefix + name], position / every);
    kept[name] = whole || several ? null : TABLES["kept_" + name].data;
    lines[name] = several ? parted(points, several) : whole ? opened(points, TABLES["kept_" + name].data, count) : points;
  }
  const places = placesAt(half, time, lines.hyoid_middle), numbers = rowOf(TABLES[prefix + "samples"], position);
  for (const [name, carrier] of Object.entries(DATA.lines.carried)) lines[name] = moved(TABLES["still_" + name].data, places[carrier]);
  DATA.lines.samples.forEach((name, i) => { samples[name] = numbers[i]; });
  const tongue = opened(lines.tongue, kept.tongue, DATA.lines.bent.tongue[0]), ends = rowOf(TABLES[prefix + "fan"], position);
  lines.tongue_fibres = fanOf(ends, tongue, samples["tongue tip"], moved(DATA.lines.fan.genial, places.jaw));
  return { half, time, position, prefix, lines, kept, samples, places, laid: {} };
}

// The muscle that fans out from the chin, as renders/anatomy/mouth.py bends it; `ends` of each fibre, NaN for none.
function fanOf(ends, tongue, tip, [gx, gy]) {
  const { fan } = DATA.lines, [near, far] = fan.fibre_between_share, [mx, my] = meanOf(tongue.subarray(0, 2 * tip)), runs = [];
  const rx = gx + fan.genial_off_mm[0] + fan.fibre_root_mm[0], ry = gy + fan.genial_off_mm[1] + fan.fibre_root_mm[1];
  for (let n = 0; n < fan.fibres; n++) {
    const at = 2 * Math.floor(mix(fan.fibre_from_share, fan.fibre_to_share, n / (fan.fibres - 1)) * tip), run = [];
    for (let i = ends[2 * n]; i <= ends[2 * n + 1]; i++) {
      const t = mix(near, far, i / (fan.fibre_points - 1)), bend = fan.fibre_bend_share * Math.sin(Math.PI * t) * (0.5 - n / fan.fibres);
      run.push(rx + t * (tongue[at] - rx) + bend * (mx - rx), ry + t * (tongue[at + 1] - ry) + bend * (my - ry));
    }
    if (run.length) runs.push(run);
  }
  return runs;
}

const meanOf = (line) => [0, 1].map((xy) => (2 * line.reduce((sum, value, i) => (i % 2 === xy ? sum + value : sum), 0)) / line.length);
