// The mouth at a moment: outlines in mm of the head (x to the back, y up), and the numbers that marks are drawn from.

const LETTERS = ["a_", "b_"];

function mixed(table, position) {
  const last = table.frames - 1;
  const at = Math.min(Math.max(position, 0), last), first = Math.min(Math.floor(at), Math.max(last - 1, 0));
  const share = at - first, next = Math.min(first + 1, last), out = new Float32Array(table.values);
  const a = first * table.values, b = next * table.values, data = table.data;
  for (let i = 0; i < table.values; i++) {
    const from = data[a + i], to = data[b + i];
    out[i] = share < 1e-6 ? from : from !== from ? to : to !== to ? from : from + share * (to - from);
  }
  return out;
}

// Between two frames by a cubic through four of them: half as far off as a straight line.
function curved(table, position) {
  const first = Math.floor(position + 1e-6), share = position - first;
  if (share < 1e-4 || first < 1 || first + 2 >= table.frames) return mixed(table, Math.abs(share) < 1e-4 ? first : position);
  const out = new Float32Array(table.values), { data, values } = table, at = first * values;
  const a = (-share * (share - 1) * (share - 2)) / 6, b = ((share + 1) * (share - 1) * (share - 2)) / 2;
  const c = (-(share + 1) * share * (share - 2)) / 2, d = ((share + 1) * share * (share - 1)) / 6;
  for (let i = 0; i < values; i++) {
    out[i] = a * data[at - values + i] + b * data[at + i] + c * data[at + values + i] + d * data[at + 2 * values + i];
  }
  return out;
}

const SIGNALS = ["pressure", "mouth", "nose", "glottis", "voice", "burst", "breath", "narrow", "travel", "folds_shut",
  "folds", "lips_gap", "tip_gap", "body_gap", "port", "aperture", "rounded", "spread", "tucked", "jaw", "sides", "larynx"];
const PRESSED = ["tongue", "upper_lip", "lower_lip", "velum", "epiglottis", "chin_neck"];
const ON_JAW = ["lower_incisor", "mandible", "lower_gum", "mouth_floor"];
const ON_LARYNX = ["larynx_front", "larynx_rear", "thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid"];

function signalsAt(half, time) {
  const found = {}, position = time * DATA.signal_rate;
  for (const name of SIGNALS) found[name] = mixed(TABLES[LETTERS[half] + name], position)[0];
  return found;
}

function turned(points, angle) {
  const [hx, hy] = DATA.rig.hinge, c = Math.cos(angle), s = Math.sin(angle), out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const x = points[i] - hx, y = points[i + 1] - hy;
    out[i] = c * x - s * y + hx;
    out[i + 1] = s * x + c * y + hy;
  }
  return out;
}

function lifted(points, by) {
  const out = new Float32Array(points);
  for (let i = 1; i < out.length; i += 2) out[i] += by;
  return out;
}

// Everything that moves, at a time in seconds on the half's own clock.
function shapeAt(half, time) {
  const prefix = LETTERS[half], position = (time - DATA.halves[half].offset) * DATA.rate, lines = {};
  const now = signalsAt(half, time), angle = now.jaw * DATA.rig.radians_per_mm;
  for (const organ of PRESSED) lines[organ] = curved(TABLES[prefix + organ], position);
  for (const organ of ON_JAW) lines[organ] = turned(STILL[organ], angle);
  for (const organ of ON_LARYNX) lines[organ] = lifted(STILL[organ], now.larynx);
  const [hx, hy] = mixed(TABLES[prefix + "hyoid"], position), r = DATA.rig.hyoid_radius;
  lines.hyoid = new Float32Array(64);
  for (let i = 0; i < 32; i++) {
    lines.hyoid[2 * i] = hx + r * Math.cos((i * Math.PI) / 16);
    lines.hyoid[2 * i + 1] = hy + r * Math.sin((i * Math.PI) / 16);
  }
  const genial = turned(new Float32Array(DATA.rig.genial), angle);
  const jaw = Object.fromEntries(["crown", "root", "marrow"].map((part) => [part, turned(STILL["lower_" + part], angle)]));
  return {
    half, time, now, lines,
    jaw,
    genial: [genial[0] + 0.6, genial[1] + 0.3],
    low: [genial[2] + 0.6, genial[3] + 0.3],
    hyoid: [hx, hy],
    folds: foldsOf(lines, DATA.rig.folds_height + now.larynx),
    reds: {
      upper: mixed(TABLES[prefix + "upper_red"], position),
      lower: mixed(TABLES[prefix + "lower_red"], position),
    },
    walls: wallsOf(prefix, position),
    closed: DATA.halves[half].closures.filter((c) => c[1] <= time && time < c[2]).map((c) => c[0]),
    touch: (organ) => mixed(TABLES[prefix + "touch_" + organ], position),
  };
}

function foldsOf(lines, height) {
  function nearest(line) {
    let best = 0;
    for (let i = 1; i < line.length; i += 2) {
      if (Math.abs(line[i] - height) < Math.abs(line[2 * best + 1] - height)) best = (i - 1) / 2;
    }
    return line[2 * best];
  }
  return { height, front: nearest(lines.larynx_front), rear: nearest(lines.larynx_rear) };
}

// Both walls of the channel along the gridlines, from the windpipe on; only where there are two.
function wallsOf(prefix, position) {
  const inner = mixed(TABLES[prefix + "inner"], position), outer = mixed(TABLES[prefix + "outer"], position);
  const start = TABLES.grid_start.data, along = TABLES.grid_along.data, rows = [];
  for (let i = 0; i < inner.length; i++) {
    if (inner[i] !== inner[i] || outer[i] !== outer[i]) continue;
    const far = Math.max(outer[i], inner[i]);
    rows.push({
      number: i,
      room: far - inner[i],
      inner: [start[2 * i] + inner[i] * along[2 * i], start[2 * i + 1] + inner[i] * along[2 * i + 1]],
      outer: [start[2 * i] + far * along[2 * i], start[2 * i + 1] + far * along[2 * i + 1]],
      level: Math.abs(along[2 * i + 1]) < 0.01,
    });
  }
  return rows;
}

// Lengths along a line of x, y, x, y, ... and points at shares of its whole length.
function lengthsOf(line) {
  const run = new Float32Array(line.length / 2);
  for (let i = 1; i < run.length; i++) {
    run[i] = run[i - 1] + Math.hypot(line[2 * i] - line[2 * i - 2], line[2 * i + 1] - line[2 * i - 1]);
  }
  return run;
}

function pointAt(line, run, length) {
  let low = 0, high = run.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (run[middle] <= length) low = middle;
    else high = middle;
  }
  const share = run[high] > run[low] ? Math.min(Math.max((length - run[low]) / (run[high] - run[low]), 0), 1) : 0;
  return [
    line[2 * low] + share * (line[2 * high] - line[2 * low]),
    line[2 * low + 1] + share * (line[2 * high + 1] - line[2 * low + 1]),
  ];
}

// The stretch of a line between two shares of its length.
function stretch(line, from, to) {
  const run = lengthsOf(line), whole = run[run.length - 1], out = [...pointAt(line, run, from * whole)];
  for (let i = 0; i < run.length; i++) {
    if (run[i] > from * whole && run[i] < to * whole) out.push(line[2 * i], line[2 * i + 1]);
  }
  out.push(...pointAt(line, run, to * whole));
  return out;
}

function meanOf(line) {
  let x = 0, y = 0;
  for (let i = 0; i < line.length; i += 2) {
    x += line[i];
    y += line[i + 1];
  }
  return [(2 * x) / line.length, (2 * y) / line.length];
}

function foremost(line) {
  let best = 0;
  for (let i = 2; i < line.length; i += 2) if (line[i] < line[best]) best = i;
  return [line[best], line[best + 1]];
}
