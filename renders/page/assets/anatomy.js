// The organs on a canvas whose unit is the millimetre, y up: the plate, pieces that are carried, and rows of ink laid along
// lines as renders/anatomy/moving.py lays them (data/ink.toml beside it says what a row's keys mean).

const [LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM] = DATA.playing.box_mm; // what must be seen: the mouth and what leaves it

// Fits the box into a canvas of w x h CSS px; gives px per mm. What there is more room for is shown as well.
function setView(ctx, w, h, ratio) {
  const scale = Math.min(w / (RIGHT_MM - LEFT_MM), h / (TOP_MM - BOTTOM_MM));
  const x = w / 2 - (scale * (LEFT_MM + RIGHT_MM)) / 2, y = h / 2 + (scale * (TOP_MM + BOTTOM_MM)) / 2;
  ctx.setTransform(ratio * scale, 0, 0, -ratio * scale, ratio * x, ratio * y);
  return scale;
}

// A line added to a path, of a canvas or kept.
function trace(path, line, closed) {
  path.moveTo(line[0], line[1]);
  for (let i = 2; i < line.length; i += 2) path.lineTo(line[i], line[i + 1]);
  if (closed) path.closePath();
}

class Pen {
  // `thick`: mm for a unit of line width.
  constructor(ctx, thick, colours) {
    Object.assign(this, { ctx, thick, colours });
    ctx.miterLimit = 4;
  }
  begin() { this.ctx.beginPath(); }
  add(line, closed) { trace(this.ctx, line, closed); }
  fill(role, opacity = 1, path = null) {
    const { ctx } = this;
    Object.assign(ctx, { globalAlpha: opacity, fillStyle: this.colours[role] });
    path ? ctx.fill(path) : ctx.fill();
  }
  stroke(role, width, { opacity = 1, casing = null, dash = null, cap = "round", join = "round" } = {}, path = null) {
    const { ctx } = this;
    Object.assign(ctx, { globalAlpha: opacity, lineCap: cap, lineJoin: join });
    for (const [colour, wide, dashes] of [...(casing ? [casing] : []), [role, width, dash]]) {
      ctx.setLineDash(dashes || []);
      Object.assign(ctx, { strokeStyle: this.colours[colour], lineWidth: wide * this.thick });
      path ? ctx.stroke(path) : ctx.stroke();
    }
  }
}

function joined(...lines) {
  const out = new Float32Array(lines.reduce((sum, line) => sum + line.length, 0));
  let at = 0;
  for (const line of lines) {
    out.set(line, at);
    at += line.length;
  }
  return out;
}

const backwards = (line) => Float32Array.from(line, (_, i) => line[line.length - 2 - i + 2 * (i % 2)]);

// Unit normals to the left of a line's direction (y up).
function leftOf(line, closed = false) {
  const n = line.length / 2, out = new Float32Array(line.length);
  for (let i = 0; i < n; i++) {
    const a = i ? i - 1 : closed ? n - 1 : 0, b = i < n - 1 ? i + 1 : closed ? 0 : n - 1;
    const dx = line[2 * b] - line[2 * a], dy = line[2 * b + 1] - line[2 * a + 1], long = Math.hypot(dx, dy) || 1;
    out[2 * i] = -dy / long;
    out[2 * i + 1] = dx / long;
  }
  return out;
}

// A line moved to its left by `by` times one weight a point.
function shifted(line, left, by, weights = null) {
  const out = new Float32Array(line.length);
  for (let i = 0; i < line.length; i++) out[i] = line[i] + (weights ? by * weights[i >> 1] : by) * left[i];
  return out;
}

const ring = (there, back) => joined(there, backwards(back));

const eased = (at, low, high) => {
  const t = limited((at - low) / (high - low));
  return t * t * (3 - 2 * t);
};

function lengthsOf(line) {
  const run = new Float32Array(line.length / 2);
  for (let i = 1; i < run.length; i++) run[i] = run[i - 1] + Math.hypot(line[2 * i] - line[2 * i - 2], line[2 * i + 1] - line[2 * i - 1]);
  return run;
}

// A line smoothed over about `spread` points to each side; its ends stay.
function calmed(line, spread) {
  const n = line.length / 2, reach = Math.min(Math.trunc(3 * spread), n - 2), out = new Float32Array(line.length);
  if (n < 5) return line;
  const bell = Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-0.5 * ((k - reach) / spread) ** 2));
  const sum = bell.reduce((a, b) => a + b);
  // turned about its ends, so that they stay where they are
  const at = (i, xy) => (i < 0 ? 2 * line[xy] - line[xy - 2 * i] : i < n ? line[2 * i + xy] : 2 * line[2 * n - 2 + xy] - line[2 * (2 * n - 2 - i) + xy]);
  const padded = Float32Array.from({ length: line.length + 4 * reach }, (_, i) => at((i >> 1) - reach, i & 1));
  for (let i = 0; i < out.length; i++) for (let k = 0; k < bell.length; k++) out[i] += (bell[k] / sum) * padded[i + 2 * k];
  return out;
}

// Stretches of lines one after the other, with their lengths and normals; the same for all rows along the same.
const laidAlong = (shape, along) => (shape.laid[along] ??= layAlong(shape, along));

const wholes = {};
const wholeNumbers = (count) => (wholes[count] ??= Float32Array.from({ length: count }, (_, i) => i));

function layAlong(shape, along) {
  const parts = [], numbers = {};
  let count = 0;
  for (const [name, from, to, back, dx, dy] of along) {
    const number = (end, own) => (end === null ? own : typeof end === "string" ? shape.samples[`${name} ${end}`] : end);
    const line = shape.lines[name], kept = shape.kept[name] || wholeNumbers(line.length / 2), last = kept[kept.length - 1];
    const [points, at] = from === null ? [line, kept] : between(line, kept, number(from, 0), number(to, last));
    const part = back ? backwards(points) : points;
    numbers[name] = [count, back ? at.slice().reverse() : at];
    count += at.length;
    parts.push(dx || dy ? part.map((value, i) => value + (i % 2 ? dy : dx)) : part);
  }
  const points = parts.length > 1 ? joined(...parts) : parts[0];
  let run, left; // only some rows need them
  return { points, numbers, get run() { return (run ??= lengthsOf(points)); }, get left() { return (left ??= leftOf(points)); } };
}

// A line from one sample to another, and the numbers of its points; `kept`: numbers of the points that are there.
function between(line, kept, first, last) {
  const points = sampleAt(line, kept, first), at = [first];
  kept.forEach((n, i) => {
    if (n <= first || n >= last) return;
    points.push(line[2 * i], line[2 * i + 1]);
    at.push(n);
  });
  return last > first ? [points.concat(sampleAt(line, kept, last)), [...at, last]] : [points, at];
}

function sampleAt(line, kept, sample) {
  const i = Math.max(kept.findIndex((n) => n >= sample), 1), share = (sample - kept[i - 1]) / (kept[i] - kept[i - 1]) || 0;
  return kept.length > 1 ? [0, 1].map((xy) => mix(line[2 * i - 2 + xy], line[2 * i + xy], share)) : [...line];
}

// How far along a line a sample lies, such as "tongue tip"; a sample beyond its ends lies there.
function runAt({ run, numbers }, shape, sample) {
  const [begin, at] = numbers[sample.split(" ")[0]], wanted = shape.samples[sample], falling = at[0] > at[at.length - 1];
  let i = 1;
  while (i < at.length - 1 && (falling ? at[i] > wanted : at[i] < wanted)) i++;
  return mix(run[begin + i - 1], run[begin + i], limited((wanted - at[i - 1]) / (at[i] - at[i - 1])));
}

// The weights of a row along its line, one a point.
function weightsOf(shape, row, laid) {
  const { run } = laid, whole = run[run.length - 1], weights = new Float32Array(run.length).fill(1);
  for (const [at, low, high, least, most, around] of row.weights || []) {
    const from = at.includes(" ") ? runAt(laid, shape, at) : 0;
    const below = typeof least === "string" ? DATA.plate.widths[least] / DATA.plate.widths[row.line] : least;
    for (let i = 0; i < run.length; i++) {
      const here = run[i] - from, away = at === "end" ? whole - here : at === "ends" ? Math.min(here, whole - here) : around ? Math.abs(here) : here;
      weights[i] *= mix(below, most, eased(away, low, high));
    }
  }
  return row.power ? weights.map((weight) => weight ** row.power) : weights;
}

// Areas and lines as renders/page/display_list.py tells them.
function linesOf(rows, { data }) {
  let at = 0;
  return rows.map(([role, width, opacity, closed, counts]) => {
    const path = new Path2D();
    for (const count of counts) trace(path, data.subarray(at, (at += count)), closed);
    return { role, width, opacity, path };
  });
}

function drawLines(pen, lines) {
  for (const { role, width, opacity, path } of lines) width === null ? pen.fill(role, opacity, path) : pen.stroke(role, width, { opacity }, path);
}

// The plate behind the air's tint and before it, then pieces by name with what carries them.
function readPlate() {
  const { behind, still, pieces, lines } = DATA.plate, all = linesOf(lines, TABLES.plate_lines), own = {};
  let from = still;
  for (const [name, [carrier, count]] of Object.entries(pieces)) own[name] = { carrier, lines: all.slice(from, (from += count)) };
  return { behind: all.slice(0, behind), before: all.slice(behind, still), pieces: own };
}
const PLATE = readPlate();

function drawPiece(pen, { places }, { carrier, lines }) {
  pen.ctx.save();
  pen.ctx.transform(...places[carrier]);
  drawLines(pen, lines);
  pen.ctx.restore();
}

// What never moves is kept as two pictures.
const plates = new Map();
function plateOf(pen, w, h, matrix) {
  const key = [w, h, pen.colours.paper, pen.colours.head].join();
  if (!plates.has(key)) {
    if (plates.size > 5) plates.delete(plates.keys().next().value);
    plates.set(key, ["behind", "before"].map((part) => {
      const canvas = el("canvas", { width: w, height: h }), ctx = canvas.getContext("2d");
      ctx.fillStyle = pen.colours.head;
      ctx.setTransform(matrix);
      if (part === "behind") ctx.fillRect(DATA.plate.right_mm - 2, -1e3, 1e3, 2e3); // a wide canvas shows more
      drawLines(new Pen(ctx, pen.thick, pen.colours), PLATE[part]);
      return canvas;
    }));
  }
  return plates.get(key);
}

// One row of ink.
function drawInk(pen, shape, row) {
  if (row.draw === "piece") return drawPiece(pen, shape, PLATE.pieces[row.piece]);
  const { draw, role, opacity = 1, depth_mm: depth = 0, share = 1 } = row, width = row.line ? DATA.plate.widths[row.line] * share : 0;
  pen.begin();
  if (draw === "lines") {
    for (const run of shape.lines[row.along[0][0]]) pen.add(run);
    return pen.stroke(role, width, { opacity, cap: "butt" });
  }
  const laid = laidAlong(shape, row.along), { points } = laid, offset = (by) => shifted(points, laid.left, by, weightsOf(shape, row, laid));
  if (points[0] !== points[0]) return undefined;
  if (draw === "line" || draw === "ring" || draw === "inset") {
    pen.add(depth ? offset(depth) : points, draw === "ring");
    return pen.stroke(role, width, { opacity, cap: draw === "inset" ? "butt" : "round" });
  }
  if (draw === "area") pen.add(points, true);
  else if (draw === "core") pen.add(shifted(points, leftOf(points, true), depth), true);
  else if (draw === "band") pen.add(ring(points, row.calm ? calmed(offset(depth), row.calm) : offset(depth)), true);
  else {
    const half = (row.line ? width * pen.thick : row.wide_mm) / 2;
    pen.add(ring(offset(half), offset(-half)), true);
  }
  return pen.fill(role, opacity);
}

// All organs of a shape; held air is tinted between the plate's two pictures.
function drawOrgans(pen, shape, canvas, level, rings) {
  const { ctx } = pen, matrix = ctx.getTransform(), [behind, before] = plateOf(pen, canvas.width, canvas.height, matrix);
  const put = (picture) => {
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.globalAlpha = 1;
    ctx.drawImage(picture, 0, 0);
    ctx.setTransform(matrix);
  };
  put(behind);
  for (const row of DATA.plate.front_air) drawInk(pen, shape, row);
  if (level) drawTint(pen, rings, level);
  put(before);
  if (level) drawPiece(pen, shape, PLATE.pieces.surfaces);
  for (const row of DATA.plate.organs) drawInk(pen, shape, row);
}
