// The side view: organs of a shape on a canvas whose unit is the millimetre, y up (see `setView`).

const BOX_MM = { left: -54, right: 96, top: 44, bottom: -87 }; // what must be seen: the mouth and what leaves it

// Fits the box into a canvas of w x h CSS px; gives px per mm. What there is more room for is shown as well.
function setView(ctx, w, h, ratio) {
  const wide = BOX_MM.right - BOX_MM.left, high = BOX_MM.top - BOX_MM.bottom;
  const scale = Math.min(w / wide, h / high);
  const x = w / 2 - (scale * (BOX_MM.left + BOX_MM.right)) / 2;
  const y = h / 2 + (scale * (BOX_MM.top + BOX_MM.bottom)) / 2;
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
  const out = [];
  for (const line of lines) for (const value of line) out.push(value);
  return out;
}

function backwards(line) {
  const out = new Array(line.length);
  for (let i = 0; i < line.length; i += 2) {
    out[line.length - 2 - i] = line[i];
    out[line.length - 1 - i] = line[i + 1];
  }
  return out;
}

const BOTTOM = -118, TOP = 120, RIGHT = 400;

function drawGround(pen, shape) {
  const { lines } = shape, skin = STILL.profile;
  const back = [-20.6, 23.9, -16.8, 22.9, -12, 20, 6, 13, 50, 18, 76, 8, 78.5, -60, 66, -112, 66, BOTTOM];
  pen.fill(joined(skin, back, [RIGHT, BOTTOM, RIGHT, TOP, -13, TOP]), "head");
  const below = [46, BOTTOM, 80, BOTTOM, 80, -70, 60, -30, 20, -22];
  pen.fill(joined(lines.lower_lip, lines.chin_neck, below), "head");
  pen.fill(joined(lines.upper_lip, [4, 16, 2, 24]), "head");
}

// The air is what the masses around it leave free: first its hull, then pressure in it, then the masses.
function drawAir(pen, shape, tint) {
  const { lines, hyoid } = shape, nose = STILL.nose_floor, roof = STILL.nose_roof;
  const upper = meanOf(lines.upper_lip), lower = meanOf(lines.lower_lip), jaw = meanOf(lines.mandible);
  const [ux, uy] = foremost(lines.upper_lip), [lx, ly] = foremost(stretch(lines.lower_lip, 0, 0.75));
  const end = lines.lower_lip.length;
  const hull = [
    ux, uy, upper[0] - 1, upper[1] - 3, -13, 21, nose[0], nose[1], roof[0], roof[1], -31, 29, -16, 61, 0, 73, 32, 72, 50,
    56, 78, 42, 84, 20, 84, -110, 50, -110, hyoid[0], hyoid[1], jaw[0], jaw[1],
    (lines.lower_lip[end - 2] + lines.lower_lip[0]) / 2, (lines.lower_lip[end - 1] + lines.lower_lip[1]) / 2,
    lower[0], lower[1] + 3, lx, ly,
  ];
  pen.fill(hull, "airway");
  tint();
  pen.fill(STILL.maxilla_mass, "head");
  pen.fill(STILL.rear_mass, "head");
  pen.fill([120, BOTTOM, RIGHT, BOTTOM, RIGHT, TOP, 120, TOP], "head");
  const tongue = meanOf(lines.tongue);
  const mass = joined(
    lines.lower_lip.slice(-2), lines.chin_neck, [46, -112], backwards(lines.larynx_front), hyoid, tongue,
    backwards(lines.mouth_floor), lines.lower_lip.slice(0, 2),
  );
  pen.fill(mass, "head");
  pen.fill(joined(lines.larynx_rear, [96, -110, 96, -74]), "head");
}

function drawUpper(pen) {
  for (const organ of ["skull_base", "atlas", "dens"]) hint(pen, STILL[organ], "bone", 0.75, 0.45);
  hint(pen, STILL.sphenoid_sinus, "head", 0.8, 0.35);
  for (let i = 0; STILL["vertebra_" + i]; i++) hint(pen, STILL["vertebra_" + i], "bone", 0.75, 0.45);
  for (const organ of ["concha_low", "concha_middle", "concha_high"]) hint(pen, STILL[organ], "head", 0.55, 0.35);
  pen.fill(STILL.upper_gum, "head");
  pen.fill(STILL.upper_gum, "mover", 0.35);
  pen.fill(STILL.maxilla, "bone");
  pen.stroke(STILL.maxilla, "rule", 1.2, { opacity: 0.7, closed: true });
  pen.stroke(STILL.palate, "mover", 4.2, { opacity: 0.75, cap: "butt" });
  pen.stroke(STILL.palate, "ink", 1.7);
  for (const organ of ["nose_floor", "nose_roof"]) pen.stroke(STILL[organ], "ink2", 1, { opacity: 0.8 });
  pen.fill(STILL.upper_incisor, "tooth");
  pen.stroke(STILL.upper_incisor, "ink", 1.4, { closed: true });
}

function hint(pen, line, role, opacity, edge) {
  pen.fill(line, role, opacity);
  pen.stroke(line, "rule", 1, { opacity: edge, closed: true });
}

function drawThroat(pen, shape) {
  const { lines } = shape;
  pen.stroke(STILL.gullet, "mover_line", 1.4, { opacity: 0.4 });
  pen.stroke(STILL.rear_wall, "ink2", 1.4);
  for (const organ of ["larynx_front", "larynx_rear"]) pen.stroke(lines[organ], "ink2", 1.4);
  for (const organ of ["thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid", "epiglottis"]) {
    pen.fill(lines[organ], "cart");
    pen.stroke(lines[organ], "ink2", 1.3, { closed: true });
  }
}

function drawJaw(pen, shape) {
  const { lines } = shape;
  pen.fill(lines.lower_gum, "head");
  pen.fill(lines.lower_gum, "mover", 0.35);
  pen.stroke(lines.mouth_floor, "mover_line", 1.4, { opacity: 0.7 });
  pen.fill(lines.mandible, "bone");
  pen.stroke(lines.mandible, "rule", 1.2, { opacity: 0.8, closed: true });
  pen.fill(lines.lower_incisor, "tooth");
  pen.stroke(lines.lower_incisor, "ink", 1.4, { closed: true });
}

function drawTongue(pen, shape, fine) {
  const { lines, genial: [gx, gy], hyoid: [hx, hy] } = shape, tongue = lines.tongue;
  const mx = (gx + hx) / 2, my = (gy + hy) / 2;
  pen.fill([gx - 0.6, gy - 5.5, mx - 1.5, my - 8.5, hx - 3, hy - 3.5, hx - 3, hy + 2.5, mx, my - 1, gx, gy], "mover", 0.5);
  pen.fill(tongue, "mover");
  if (fine) {
    const run = lengthsOf(tongue);
    let tip = 0;
    for (let i = 0; i < tongue.length / 2 && run[i] < 0.75 * run[run.length - 1]; i++) {
      if (tongue[2 * i] < tongue[2 * tip]) tip = i;
    }
    pen.ctx.beginPath();
    for (let i = 0; i < 11; i++) {
      const [x, y] = pointAt(tongue, run, (0.16 + 0.077 * i) * run[tip]);
      pen.add([gx + 0.14 * (x - gx), gy + 0.14 * (y - gy), gx + 0.8 * (x - gx), gy + 0.8 * (y - gy)]);
    }
    pen.strokePath("mover_line", 1, { opacity: 0.3 });
  }
  pen.stroke(tongue, "ink", 2.4, { closed: true });
  pen.fill(lines.hyoid, "bone");
  pen.stroke(lines.hyoid, "rule", 1.2, { closed: true });
}

function drawVelum(pen, shape) {
  const velum = shape.lines.velum;
  pen.fill(velum, "mover");
  const run = lengthsOf(velum), whole = run[run.length - 1], middle = [];
  for (let share = 0.05; share < 0.36; share += 0.03) {
    const a = pointAt(velum, run, share * whole), b = pointAt(velum, run, (1 - share) * whole);
    middle.push((a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
  }
  pen.stroke(middle, "mover_line", 6, { opacity: 0.16 });
  pen.stroke(velum, "ink", 2.1);
}

function drawLips(pen, shape) {
  for (const side of ["upper", "lower"]) {
    const lip = shape.lines[side + "_lip"], [from, to] = shape.reds[side], turns = DATA.turns[side + "_lip"];
    pen.fill(lip, "head");
    if (from === from) {
      const red = redOf(lip, from, to);
      pen.fill(red, "mover");
      pen.fill(red, "mover_line", 0.3);
    }
    const turn = 2 * (side === "upper" ? turns[1] : turns[0]);
    const [outside, inside] = side === "upper" ? [lip.slice(0, turn), lip.slice(turn - 2)] : [lip.slice(turn - 2), lip.slice(0, turn)];
    pen.stroke(inside, "ink2", 1.2);
    pen.stroke(outside, "ink", 2.4);
  }
}

// The red of a lip: a band along its outline that thins out towards both ends.
function redOf(lip, from, to) {
  const edge = stretch(lip, from, to), count = edge.length / 2, middle = meanOf(lip), inner = [];
  const run = lengthsOf(edge), whole = run[count - 1];
  let turn = 0;
  const across = [];
  for (let i = 0; i < count; i++) {
    const a = Math.max(i - 1, 0), b = Math.min(i + 1, count - 1);
    const dx = edge[2 * b] - edge[2 * a], dy = edge[2 * b + 1] - edge[2 * a + 1], length = Math.hypot(dx, dy) || 1;
    across.push([-dy / length, dx / length]);
    turn += (middle[0] - edge[2 * i]) * across[i][0] + (middle[1] - edge[2 * i + 1]) * across[i][1];
  }
  for (let i = 0; i < count; i++) {
    const thick = 2.3 * Math.sin((Math.PI * run[i]) / whole) ** 0.4 * Math.sign(turn) || 0;
    inner.push(edge[2 * i] + thick * across[i][0], edge[2 * i + 1] + thick * across[i][1]);
  }
  return joined(edge, backwards(inner));
}

function drawSkin(pen, shape) {
  const { lines } = shape, upper = lines.upper_lip, lower = lines.lower_lip;
  pen.stroke(joined(STILL.profile, STILL.nose_roof.slice(0, 2)), "ink", 3);
  pen.stroke(STILL.nose_floor.slice(0, 8), "ink", 1.8);
  pen.stroke(joined(STILL.nose_floor.slice(0, 2), upper.slice(0, 2 * DATA.turns.upper_lip[0])), "ink", 3);
  pen.stroke(joined(lower.slice(2 * DATA.turns.lower_lip[1]), lines.chin_neck), "ink", 3);
}

// All organs of a shape; `tint` draws the pressure into the air spaces.
function drawOrgans(pen, shape, tint, fine) {
  drawGround(pen, shape);
  drawAir(pen, shape, tint);
  drawUpper(pen);
  drawThroat(pen, shape);
  drawJaw(pen, shape);
  drawTongue(pen, shape, fine);
  drawVelum(pen, shape);
  drawLips(pen, shape);
  drawSkin(pen, shape);
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
