// The side view: organs of a shape on a canvas whose unit is the millimetre, y up (see `setView`).

const [LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM] = DATA.playing.box_mm; // what must be seen: the mouth and what leaves it

// Fits the box into a canvas of w x h CSS px; gives px per mm. What there is more room for is shown as well.
function setView(ctx, w, h, ratio) {
  const wide = RIGHT_MM - LEFT_MM, high = TOP_MM - BOTTOM_MM;
  const scale = Math.min(w / wide, h / high);
  const x = w / 2 - (scale * (LEFT_MM + RIGHT_MM)) / 2;
  const y = h / 2 + (scale * (TOP_MM + BOTTOM_MM)) / 2;
  ctx.setTransform(ratio * scale, 0, 0, -ratio * scale, ratio * x, ratio * y);
  return scale;
}

class Pen {
  constructor(ctx, scale, colours) {
    this.ctx = ctx;
    this.scale = scale;
    this.colours = colours;
    this.thick = Math.max(scale / 4, 0.45) / scale; // mm for one px of a drawing at 4 px per mm
    ctx.lineJoin = "round";
    ctx.lineCap = "round";
  }
  path(line, closed) {
    this.ctx.beginPath();
    this.add(line, closed);
  }
  add(line, closed) {
    const ctx = this.ctx;
    ctx.moveTo(line[0], line[1]);
    for (let i = 2; i < line.length; i += 2) ctx.lineTo(line[i], line[i + 1]);
    if (closed) ctx.closePath();
  }
  fill(line, role, opacity = 1) {
    this.path(line, true);
    this.fillPath(role, opacity);
  }
  fillPath(role, opacity = 1) {
    const ctx = this.ctx;
    ctx.globalAlpha = opacity;
    ctx.fillStyle = this.colours[role];
    ctx.fill();
    ctx.globalAlpha = 1;
  }
  // A line drawn with a pressure, one or one a point, of 1 where it is as wide as given.
  pressed(line, role, width, weights, opacity = 1) {
    this.fill(bandOf(line, weights.map ? weights.map((w) => (w * width * this.thick) / 2) : (weights * width * this.thick) / 2, true), role, opacity);
  }
  stroke(line, role, width, { opacity = 1, closed = false, casing = 0, dash = null, cap = "round" } = {}) {
    this.path(line, closed);
    this.strokePath(role, width, { opacity, casing, dash, cap });
  }
  strokePath(role, width, { opacity = 1, casing = 0, dash = null, cap = "round" } = {}) {
    const ctx = this.ctx;
    ctx.globalAlpha = opacity;
    ctx.lineCap = cap;
    if (casing) {
      ctx.strokeStyle = this.colours.airway;
      ctx.lineWidth = (width + casing) * this.thick;
      ctx.stroke();
    }
    ctx.setLineDash(dash || []);
    ctx.strokeStyle = this.colours[role];
    ctx.lineWidth = width * this.thick;
    ctx.stroke();
    ctx.setLineDash([]);
    ctx.lineCap = "round";
    ctx.globalAlpha = 1;
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

function backwards(line) {
  const n = line.length, out = new Float32Array(n);
  for (let i = 0; i < n; i += 2) {
    out[n - 2 - i] = line[i];
    out[n - 1 - i] = line[i + 1];
  }
  return out;
}

const { widths: WIDTH, hints: HINT } = DATA.plate;
const BOTTOM = -118, TOP = 120, RIGHT = 600;

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

// A line moved to its left by one depth or one a point.
function shifted(line, depth, closed = false) {
  const left = leftOf(line, closed), out = new Float32Array(line.length);
  for (let i = 0; i < line.length; i++) out[i] = line[i] + (depth.length ? depth[i >> 1] : depth) * left[i];
  return out;
}

// The ring between a line and the same line moved to its left; with `both` between its two sides.
function bandOf(line, depth, both = false) {
  const minus = depth.map ? depth.map((d) => -d) : -depth;
  return joined(both ? shifted(line, minus) : line, backwards(shifted(line, depth)));
}

const eased = (at, low, high) => {
  const t = Math.min(Math.max((at - low) / (high - low), 0), 1);
  return t * t * (3 - 2 * t);
};

// Weights that rise from `least` at both ends of a line to 1 within `reach` mm, times `by`.
function endsOf(line, reach, least = 0, by = 1) {
  const run = lengthsOf(line), whole = run[run.length - 1];
  return Array.from(run, (at) => by * (least + (1 - least) * eased(Math.min(at, whole - at), 0, reach)));
}

function inward(ring) {
  let area = 0;
  for (let i = 0, n = ring.length; i < n; i += 2) area += ring[i] * ring[(i + 3) % n] - ring[(i + 2) % n] * ring[i + 1];
  return area > 0 ? ring : backwards(ring);
}

// What never moves is the same display list as in a still (renders/page/plate.py), kept as two pictures: behind the
// air's tint and before it.
let plateLines = null;
const plates = new Map();

function plateOf(pen, w, h, matrix) {
  const key = [w, h, pen.colours.paper, pen.colours.head].join();
  if (!plates.has(key)) {
    if (plates.size > 5) plates.delete(plates.keys().next().value);
    let at = 0;
    plateLines ??= DATA.plate.lines.map(([role, width, opacity, closed, count]) =>
      ({ role, width, opacity, closed, points: TABLES.plate_lines.data.slice(at, (at += count)) }));
    const parts = [plateLines.slice(0, DATA.plate.behind), plateLines.slice(DATA.plate.behind)];
    plates.set(key, parts.map((lines) => {
      const canvas = el("canvas", { width: w, height: h }), ctx = canvas.getContext("2d");
      ctx.setTransform(matrix);
      const own = new Pen(ctx, pen.scale, pen.colours);
      if (lines[0] === plateLines[0]) own.fill([138, BOTTOM, RIGHT, BOTTOM, RIGHT, TOP, 138, TOP], "head"); // a wide canvas shows more
      for (const { role, width, opacity, closed, points } of lines) {
        if (width === null) own.fill(points, role, opacity);
        else own.stroke(points, role, width, { opacity, closed });
      }
      return canvas;
    }));
  }
  return plates.get(key);
}

function drawFrontAir(pen, { lines }) {
  const [ux, uy] = foremost(lines.upper_lip), [lx, ly] = foremost(stretch(lines.lower_lip, 0, 0.75));
  const upper = meanOf(lines.upper_lip), lower = meanOf(lines.lower_lip);
  pen.fill([ux, uy, upper[0], upper[1] - 2, lower[0], lower[1] + 2, lx, ly], "airway");
  pen.fill([ux, uy, lx, ly, 3, -18, 3, -0.5, -0.8, -0.4, -1.9, 2.2, -5, 8], "airway");
}

function drawLowerFace(pen, { lines, hyoid }) {
  const lip = lines.lower_lip, jaw = meanOf(lines.tongue);
  pen.fill(joined(lip.slice(-2), lines.chin_neck, [46, BOTTOM, 64, BOTTOM], backwards(lines.larynx_front), hyoid, jaw,
    backwards(lines.mouth_floor), lip.slice(0, 2)), "head");
}

function drawThroat(pen, shape) {
  const { lines, folds } = shape, front = lines.larynx_front, rear = lines.larynx_rear, leaf = lines.epiglottis;
  const gullet = STILL.gullet;
  pen.fill(joined(rear, [76.6, BOTTOM, 84.6, BOTTOM], backwards(gullet)), "head");
  const before = backwards(Float32Array.from(gullet, (v, i) => (i % 2 ? v : v - 1.6)));
  pen.fill(bandOf(before, endsOf(before, 8, 0.2, 1.6)), "muscle", 0.8);
  pen.stroke(gullet, "mover_line", 1.1 * WIDTH.airway, { opacity: 0.35 });
  const inner = stretch(rear, 0, 0.6);
  pen.fill(bandOf(inner, endsOf(inner, 4, 0, -1)), "lining");
  // the side wall behind the midline: its edge, the folds and the pocket between them
  const at = (y) => [nearX(front, y), nearX(rear, y)], height = folds.height;
  let tip = 0, base = 0, apex = 0;
  for (let i = 0; i < leaf.length; i += 2) {
    if (leaf[i + 1] > leaf[tip + 1]) tip = i;
    if (leaf[i + 1] < leaf[base + 1]) base = i;
  }
  for (let i = 0; i < rear.length; i += 2) if (rear[i + 1] > rear[apex + 1]) apex = i;
  const sx = leaf[tip] + 0.34 * (leaf[base] - leaf[tip]) + 0.6, sy = leaf[tip + 1] + 0.34 * (leaf[base + 1] - leaf[tip + 1]), edge = [];
  for (let i = 0; i < 15; i++) {
    const t = i / 14, sag = Math.sin(Math.PI * t);
    edge.push(sx + t * (rear[apex] - sx) - 2.6 * sag, sy + t * (rear[apex + 1] - sy) - 1.6 * sag);
  }
  const [fx, rx] = at(height + 5);
  pen.fill(joined(edge, [rx, height + 5, fx, height + 5, leaf[base], leaf[base + 1]]), "lining", 0.42);
  pen.pressed(edge, "ink2", WIDTH.airway, endsOf(edge, 5, 0.2), 0.45);
  const { vestibular_mm: upper, ventricle_mm: pocket, fold_mm: fold } = HINT.larynx;
  for (const [low, high, role, opacity] of [[...upper, "lining", 0.75], [...pocket, "mover_line", 0.3], [-fold[1], fold[0], "lining", 0.75]]) {
    const [a, b] = at(height + low), [c, d] = at(height + high);
    pen.fill([a - 0.3, height + low, (a + b) / 2, height + low - 0.5, b + 0.3, height + low,
      d + 0.3, height + high, (c + d) / 2, height + high + 0.3, c - 0.3, height + high], role, opacity);
  }
}

function nearX(line, y) {
  let best = 0;
  for (let i = 2; i < line.length; i += 2) if (Math.abs(line[i + 1] - y) < Math.abs(line[best + 1] - y)) best = i;
  return line[best];
}

// The samples of the tongue's tip and of its foot on the jaw.
function tipAndFoot({ lines: { tongue }, genial: [gx, gy] }) {
  const count = tongue.length / 2, run = lengthsOf(tongue), whole = run[count - 1];
  let tip = 0;
  for (let i = 0; i < count && run[i] < 0.75 * whole; i++) {
    if (tongue[2 * i] - 0.15 * tongue[2 * i + 1] < tongue[2 * tip] - 0.15 * tongue[2 * tip + 1]) tip = i;
  }
  let foot = tip;
  const far = (i) => Math.hypot(tongue[2 * i] - gx, tongue[2 * i + 1] - gy);
  for (let i = tip; i < count - 1; i++) if (far(i) < far(foot)) foot = i;
  return [tip, foot];
}

// The x of the underside of the tongue, from its tip to its foot, at a height.
function undersideX(tongue, [tip, foot], y) {
  for (let i = 2 * tip; i < 2 * foot; i += 2) {
    const above = tongue[i + 1], below = tongue[i + 3];
    if (below <= y && y <= above) return mix(tongue[i], tongue[i + 2], (above - y) / (above - below || 1));
  }
  return y > tongue[2 * tip + 1] ? tongue[2 * tip] : tongue[2 * foot];
}

function drawFloorMuscle(pen, shape, fine) {
  const { lines: { tongue }, genial: [gx, gy], low: [lx, ly], hyoid: [hx, hy] } = shape;
  function arc(ax, ay, bx, by, sag) {
    const out = [];
    for (let i = 0; i < 22; i++) {
      const t = i / 21, s = sag * Math.sin(Math.PI * t);
      out.push(ax + t * (bx - ax) - 0.35 * s, ay + t * (by - ay) - s);
    }
    return out;
  }
  const top = arc(gx, gy, hx, hy + 2, 1), middle = arc(lx, ly + 0.5, hx - 2.5, hy - 1, 2.4);
  // a tongue drawn back rises from the floor: what fills the room between is muscle too
  pen.fill(joined(tongue.slice(2 * tipAndFoot(shape)[1]), backwards(middle)), "muscle", 0.9);
  pen.fill(joined(top, backwards(middle)), "muscle", 0.9);
  pen.fill(joined(middle, backwards(arc(lx - 1.5, ly - 2.5, hx - 3, hy - 4, 2.4))), "muscle", 0.55);
  if (!fine) return;
  pen.ctx.beginPath();
  for (const share of [0.35, 0.6, 0.85]) pen.add(top.map((v, i) => v + share * (middle[i] - v)).slice(4, -4));
  pen.strokePath("mover_line", 0.7 * WIDTH.fibre, { opacity: 0.22 });
  pen.pressed(middle, "mover_line", WIDTH.airway, endsOf(middle, 8, 0.2), 0.35);
}

// The floor of the mouth from the fold behind the lower gum to the tongue, where the tongue leaves it bare.
function drawFloorLining(pen, shape) {
  const { tongue, mouth_floor: floor } = shape.lines, ends = tipAndFoot(shape);
  const fx = floor[floor.length - 2], fy = floor[floor.length - 1], bare = undersideX(tongue, ends, fy) - fx;
  if (bare <= 0) return;
  const ey = fy + Math.min(HINT.floor.rises_mm, HINT.floor.rises_share * bare), ex = undersideX(tongue, ends, ey) + 0.5, edge = [];
  for (let i = 0; i < 12; i++) {
    const t = i / 11, s = 1 - t;
    edge.push(s * s * fx + s * t * (fx + ex) + t * t * ex, (s * s + 2 * s * t) * fy + t * t * ey);
  }
  pen.fill([...edge, ex + 1, fy - 2, fx, fy - 2], "head");
  pen.fill(bandOf(edge, Array.from(lengthsOf(edge), (at) => -eased(at, 0, 2))), "lining");
  pen.stroke(edge, "ink2", 1.1 * WIDTH.airway);
}

function drawTongue(pen, shape, fine) {
  const { lines, genial: [gx, gy], hyoid: [hx, hy] } = shape, tongue = lines.tongue;
  const run = lengthsOf(tongue), whole = run[run.length - 1], [tip, foot] = tipAndFoot(shape);
  const front = lines.larynx_front;
  pen.fill([front[0], front[1], tongue[0], tongue[1], ...pointAt(tongue, run, 0.03 * whole), hx, hy, ...tongue.slice(-2), hx, hy - 4.6,
    front[6], front[7]], "muscle");
  pen.fill(tongue, "mover");
  const surface = tongue.slice(0, 2 * foot + 2), along = run.slice(0, foot + 1), end = along[foot];
  if (fine) {
    const rear = tongue.slice(0, 2 * tip + 2);
    for (const depth of [9, 6, 3.6]) pen.fill(bandOf(rear, endsOf(rear, 10, 0.12, depth)), "mover_line", 0.055);
  }
  const ends = endsOf(surface, 7);
  pen.fill(bandOf(surface, ends.map((w, i) => HINT.tongue.lining_mm * w * (0.35 + 0.65 * eased(Math.abs(along[i] - run[tip]), 1, 9)))), "lining", 0.62);
  if (fine) {
    const { fibres, fibre_from_share: first, fibre_to_share: last, fibre_within_mm: within } = HINT.tongue;
    const rx = gx + 1.2, ry = gy + 0.8, [mx, my] = meanOf(surface);
    pen.ctx.beginPath();
    for (let n = 0; n < fibres; n++) {
      const [x, y] = pointAt(tongue, run, mix(first, last, n / (fibres - 1)) * run[tip]), fibre = [];
      for (let i = n % 2 ? 2 : 0; i < (n % 2 ? 11 : 12); i += 1) {
        const t = 0.16 + (0.7 * i) / 11, bend = 0.1 * Math.sin(Math.PI * t) * (0.5 - n / fibres);
        const fx = rx + t * (x - rx) + bend * (mx - rx), fy = ry + t * (y - ry) + bend * (my - ry);
        // none leaves the tongue under its tip
        if (i > 1 && fx <= undersideX(tongue, [tip, foot], fy) + within) break;
        fibre.push(fx, fy);
      }
      if (fibre.length > 8) pen.add(fibre);
    }
    pen.strokePath("mover_line", 0.75 * WIDTH.fibre, { opacity: 0.3 });
    const top = stretch(tongue, (0.12 * run[tip]) / whole, (0.86 * run[tip]) / whole);
    pen.ctx.beginPath();
    for (const depth of HINT.tongue.lengthwise_mm) pen.add(shiftedBy(top, depth));
    pen.strokePath("mover_line", 0.75 * WIDTH.fibre, { opacity: 0.26 });
  }
  const weights = Array.from(along, (at) => (0.55 + 0.45 * eased(at, 0, 14)) * (0.5 + 0.5 * eased(end - at, 2, 16)));
  pen.pressed(surface, "ink", WIDTH.tongue, weights);
  const border = tongue.slice(2 * foot);
  if (border.length > 2) pen.pressed(border, "mover_line", WIDTH.tongue, endsOf(border, 8, 0.5, 0.5), 0.6);
}

const shiftedBy = (line, depth) => shifted(line, endsOf(line, 14, 0.5, depth));

function drawEpiglottis(pen, { lines }) {
  const leaf = inward(lines.epiglottis);
  pen.fill(leaf, "lining");
  pen.fill(shifted(leaf, 0.75, true), "cart");
  pen.stroke(leaf, "ink2", 1.3 * WIDTH.airway, { closed: true });
}

function drawJaw(pen, shape) {
  const { lines, jaw } = shape;
  pen.fill(lines.lower_gum, "gum");
  pen.fill(lines.mandible, "bone");
  pen.fill(jaw.marrow, "marrow", 0.75);
  pen.stroke(lines.mandible, "rule", 0.9 * WIDTH.bone, { opacity: 0.8, closed: true });
  pen.stroke(lines.mouth_floor, "mover_line", 1.3 * WIDTH.airway, { opacity: 0.7 });
  pen.fill(jaw.root, "root");
  pen.stroke(jaw.root, "rule", 0.8 * WIDTH.bone, { closed: true });
  pen.fill(jaw.crown, "tooth");
  pen.stroke(jaw.crown, "ink", WIDTH.tooth, { closed: true });
}

function drawVelum(pen, shape, fine) {
  const velum = shape.lines.velum, run = lengthsOf(velum), whole = run[run.length - 1];
  pen.fill(velum, "mover");
  for (const share of [0.012, 0.024, 0.036, 0.048, 0.06]) {
    pen.fill([velum[0], velum[1], ...pointAt(velum, run, share * whole), ...pointAt(velum, run, (1 - share) * whole), ...velum.slice(-2)], "lining", 0.2);
  }
  pen.fill(bandOf(velum, endsOf(velum, 8, 0, 1.25)), "lining", 0.55);
  if (fine) {
    const core = [];
    for (let share = 0.06; share < 0.35; share += 0.025) {
      const a = pointAt(velum, run, share * whole), b = pointAt(velum, run, (1 - share) * whole);
      core.push((a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
    }
    pen.fill(bandOf(core, endsOf(core, 10, 0, 1.5), true), "mover_line", 0.13);
    pen.ctx.beginPath();
    for (const off of [-0.6, 0.5]) pen.add(core.map((v, i) => (i % 2 ? v + off : v)).slice(2, -4));
    pen.strokePath("mover_line", 0.7 * WIDTH.fibre, { opacity: 0.25 });
  }
  pen.pressed(velum, "ink", WIDTH.soft_palate, endsOf(velum, 7, 0.45));
}

// The tongue bone: a plate that leans forward, seen end on, in the muscle around it.
function drawHyoid(pen, { lines, hyoid: [hx, hy] }) {
  pen.fill(lines.hyoid, "muscle");
  const { ctx } = pen, turn = (62 * Math.PI) / 180;
  for (const [less, role, opacity] of [[0, "bone", 1], [1, "marrow", 0.75]]) {
    ctx.beginPath();
    ctx.ellipse(hx, hy, 4.5 - less, 2.5 - less, turn, 0, 7);
    pen.fillPath(role, opacity);
    if (!less) pen.strokePath("rule", WIDTH.bone, { opacity: 0.75 });
  }
}

function drawCartilages(pen, { lines }) {
  for (const organ of ["thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid"]) {
    pen.fill(lines[organ], "cart");
    pen.stroke(lines[organ], "ink2", 0.75 * WIDTH.cartilage, { opacity: 0.75, closed: true });
  }
  const front = lines.larynx_front;
  pen.fill(bandOf(front, endsOf(front, 6, 0, -0.9)), "lining");
  for (const organ of ["larynx_front", "larynx_rear"]) pen.stroke(lines[organ], "ink2", 1.4 * WIDTH.airway);
}

function drawLipFlesh(pen, { lines }) {
  pen.fill(joined(lines.upper_lip, [-4, 21.6]), "head");
  pen.fill(joined(lines.lower_lip, stretch(lines.chin_neck, 0, 0.12)), "head");
}

function drawLips(pen, shape) {
  for (const side of ["upper", "lower"]) {
    const lip = shape.lines[side + "_lip"], turns = DATA.turns[side + "_lip"];
    let [from, to] = shape.reds[side];
    if (from !== from) [from, to] = side === "upper" ? [0.36, 0.7] : [0.3, 0.7];
    const red = Float32Array.from(stretch(lip, from, to)), run = lengthsOf(red), end = run[run.length - 1];
    const up = side === "upper", chin = shape.lines.chin_neck;
    const [ax, ay] = meanOf(red), [bx, by] = meanOf(lip), mx = 0.42 * ax + 0.58 * bx, my = 0.42 * ay + 0.58 * by;
    pen.ctx.beginPath();
    pen.ctx.ellipse(mx, my, 4.4, 2.3, Math.atan2(by - ay, bx - ax), 0, 7);
    pen.fillPath("muscle", 0.55);
    const inner = Float32Array.from(up ? stretch(lip, to, 1) : stretch(lip, 0, from));
    pen.fill(bandOf(inner, endsOf(inner, 3, 0.4, 1.1)), "lining", 0.9);
    const outer = Float32Array.from(up ? stretch(lip, 0, from) : joined(stretch(lip, to, 1), chin));
    pen.fill(bandOf(outer, endsOf(outer, 5, 0.35, HINT.lips.skin_mm)), "skin");
    const rim = Array.from(run, (at) => (eased(at, 0, 5) * eased(end - at, 0, 5.5)) ** 0.7);
    for (const [depth, role, opacity] of [[1, "lip", 1], [1.45, "lip", 0.25], [0.45, "mover_line", 0.1]]) {
      pen.fill(bandOf(red, rim.map((w) => depth * HINT.lips.red_mm * w)), role, opacity);
    }
    // one line from the skin over the red to the inside: as strong as the profile outside, fine inside
    const sill = STILL.nose_floor;
    const line = up ? joined(sill.slice(0, 2), lip.slice(4)) : joined(backwards(chin), backwards(lip).slice(4));
    const way = lengthsOf(line), all = way[way.length - 1], before = all - (lengthsOf(lip)[lip.length / 2 - 1] * (up ? 1 - to : from));
    const start = before - end;
    pen.pressed(line, "ink", WIDTH.lips, Array.from(way, (at) => {
      const fine = eased(at, before - 4, before + 3), heavy = WIDTH.profile / WIDTH.lips, strong = heavy + (1 - heavy) * eased(at, start - 8, start + 3);
      return (strong + (0.42 - strong) * fine) * (0.35 + 0.65 * eased(all - at, 0, 3));
    }));
  }
}

function drawNoseLine(pen) {
  const line = joined(STILL.profile, STILL.nose_roof.slice(2, 8)), run = lengthsOf(line), all = run[run.length - 1];
  const turn = run[STILL.profile.length / 2 - 1] - 1.5;
  pen.pressed(line, "ink", WIDTH.profile, Array.from(run, (at) => 1 - 0.75 * eased(at, turn, all)));
  const sill = stretch(STILL.nose_floor, 0, 0.12);
  pen.pressed(sill, "ink", WIDTH.profile, endsOf(sill, 99, 0.4));
}

// All organs of a shape; `tint` draws the pressure into the air spaces. In the order of renders/anatomy/layers.py.
function drawOrgans(pen, shape, tint, fine, plate) {
  const { ctx } = pen, matrix = ctx.getTransform();
  const put = (canvas) => {
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.drawImage(canvas, 0, 0);
    ctx.setTransform(matrix);
  };
  const [behind, before] = plateOf(pen, plate.width, plate.height, matrix);
  put(behind);
  drawFrontAir(pen, shape);
  tint();
  put(before);
  drawLowerFace(pen, shape);
  drawThroat(pen, shape);
  drawFloorMuscle(pen, shape, fine);
  drawFloorLining(pen, shape);
  drawLipFlesh(pen, shape);
  drawTongue(pen, shape, fine);
  drawEpiglottis(pen, shape);
  drawJaw(pen, shape);
  drawVelum(pen, shape, fine);
  drawHyoid(pen, shape);
  drawCartilages(pen, shape);
  drawLips(pen, shape);
  drawNoseLine(pen);
}

const LAID_OVER = ["tongue", "velum", "upper_lip", "lower_lip", "chin_neck", "lower_incisor"];

// What only one of two shapes fills is hatched; the second's outlines are dashed, the first's lie over them.
function drawOverlay(pen, first, second) {
  const ctx = pen.ctx;
  for (const organ of ["tongue", "velum"]) {
    ctx.save();
    ctx.beginPath();
    pen.add(first.lines[organ], true);
    pen.add(second.lines[organ], true);
    ctx.clip("evenodd");
    ctx.beginPath();
    for (let x = -160; x < 110; x += 1.9) pen.add([x, -90, x + 140, 50]);
    pen.strokePath("ink", 1.1, { opacity: 0.75 });
    ctx.restore();
  }
  for (const organ of LAID_OVER) pen.stroke(second.lines[organ], "mover_line", 3.2, { dash: [2.6, 1.9], cap: "butt" });
  for (const organ of LAID_OVER) pen.stroke(first.lines[organ], "ink", 3);
}
