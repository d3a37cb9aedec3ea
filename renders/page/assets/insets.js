// Small views beside the side view: the vocal folds from above (front at the left), the lips from the front, and for
// some pairs the roof of the mouth from below with what the tongue touches (see renders/page/below.py).

function insetPen(canvas, wide, high, colours) {
  const ratio = window.devicePixelRatio || 1, w = canvas.clientWidth, h = canvas.clientHeight, ctx = canvas.getContext("2d");
  if (!w || !h) return null;
  const pw = Math.round(w * ratio), ph = Math.round(h * ratio);
  if (canvas.width !== pw || canvas.height !== ph) {
    canvas.width = pw;
    canvas.height = ph;
  }
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.clearRect(0, 0, pw, ph);
  const scale = Math.min(w / wide, h / high);
  ctx.setTransform(ratio * scale, 0, 0, ratio * scale, (ratio * w) / 2, (ratio * h) / 2);
  const pen = new Pen(ctx, scale, colours);
  pen.thick = 0.62 / Math.max(scale, 0.1);
  return pen;
}

const { front_mm: FRONT, fold_mm: FOLD, cartilage_mm: CARTILAGE, ring_mm: RING } = DATA.plate.hints.folds_view;

function freeEdge(gap, side) {
  const line = [];
  for (let i = 0; i <= 12; i++) line.push(FRONT + (FOLD * i) / 12, side * (0.5 * gap * (i / 12) + 0.3));
  for (let i = 1; i <= 6; i++) line.push(FRONT + FOLD + (CARTILAGE * i) / 6, side * (0.5 * gap * (1 - 0.45 * (i / 6) ** 1.6) + 0.3));
  return line;
}

function drawFolds(canvas, now, drift, colours) {
  const pen = insetPen(canvas, RING[0] + 2, RING[1] + 2, colours);
  if (!pen) return;
  const ctx = pen.ctx, gap = Math.max(now.folds, 0), vibrates = now.voice > DATA.limits.voice_share;
  ctx.beginPath();
  ctx.ellipse(0, 0, RING[0] / 2, RING[1] / 2, 0, 0, 7);
  pen.fillPath("cart");
  pen.strokePath("ink", 2);
  ctx.save();
  ctx.beginPath();
  ctx.ellipse(0.4, 0, 15.1, 10, 0, 0, 7);
  pen.fillPath("head");
  pen.strokePath("ink", 2);
  ctx.clip();
  pen.fill(joined(freeEdge(gap, -1), backwards(freeEdge(gap, 1))), "airway");
  for (const side of [-1, 1]) {
    const edge = freeEdge(gap, side), outer = [];
    for (let i = 12; i >= 0; i--) {
      const t = i / 12, body = 4.6 * Math.sin(Math.PI * limited(0.08 + 0.84 * t)) ** 0.6 + 0.6;
      outer.push(FRONT + FOLD * t, side * (0.5 * gap * t + 0.3 + body));
    }
    pen.fill(joined(edge, outer), vibrates ? "voicetint" : "mover");
    pen.stroke(edge, "ink", 3);
    pen.stroke(outer, "mover_line", 1.4);
    const x = FRONT + FOLD, near = 0.5 * gap + 0.3, far = 0.275 * gap + 0.3;
    const cartilage = [x - 0.6, side * near, x + 2.8, side * (near + 4.4), x + 6.4, side * (far + 5), x + 7, side * (far + 2.6),
      x + 7, side * far, x + 3.4, side * (0.8 * near + 0.2 * far)];
    pen.fill(cartilage, "cart");
    pen.stroke(cartilage, "ink", 1.6, { closed: true });
    if (!vibrates) continue;
    for (const [offset, high, shift] of [[1.7, 0.62, 0], [3.7, 0.5, 0.8 * Math.PI]]) {
      const line = [];
      for (let i = 0; i <= 40; i++) {
        const t = 0.08 + (0.78 * i) / 40, fade = Math.sin((Math.PI * i) / 40) ** 0.4;
        const phase = 2 * Math.PI * (4 * t - side * 0.25 - drift) + shift;
        line.push(FRONT + FOLD * t, side * (0.5 * gap * t + 0.3 + offset) + high * fade * Math.sin(phase));
      }
      pen.stroke(line, "voice", 2.6);
    }
  }
  if (!vibrates && gap >= 0.9) {
    ctx.beginPath();
    for (const x of [0.45, 0.62, 0.79, 0.95, 1.14]) {
      const radius = Math.min(0.62 * (0.5 * gap * Math.min(x, 1) * (x > 1 ? 0.8 : 1) + 0.2), 0.85);
      ctx.moveTo(FRONT + FOLD * x + radius, 0);
      ctx.arc(FRONT + FOLD * x, 0, radius, 0, 7);
    }
    pen.fillPath("air");
  }
  ctx.restore();
}

function drawLipsFront(canvas, now, colours) {
  const pen = insetPen(canvas, 64, 40, colours);
  if (!pen) return;
  const ctx = pen.ctx, aperture = Math.max(now.aperture, 0), { rounded, tucked } = now, spread = now.spread * (1 - rounded);
  const shown = 3.4 * tucked + aperture * (1 - 0.6 * tucked), open = shown > 0.05;
  const half = (25 - 0.22 * Math.min(aperture, 16)) * (1 + 0.16 * spread) * (1 - 0.42 * rounded);
  const halfIn = half * (0.9 - 0.26 * rounded) - 0.6, up = 0.42 * shown, down = 0.58 * shown;
  const pressed = Math.min(Math.max(-now.aperture, 0), 1.5), full = (1 - 0.24 * spread) * (1 + 0.1 * rounded);
  const upper = 6.6 * full - 1.4 * pressed, lower = 8.6 * full - 1.8 * pressed - 3.6 * tucked;
  ctx.translate(0, limited(0.35 * (up - down), -4, 4) - 1);
  function inner(side) {
    const line = [];
    for (let i = 0; i <= 40; i++) {
      const t = i / 20 - 1, bow = Math.max(1 - t * t, 0) ** (0.5 + 0.5 * (1 - rounded) * (side > 0 ? 0.7 : 0.75));
      const dip = 0.55 * (1 - rounded) * Math.exp(-((t / 0.16) ** 2)) * (side < 0 || !open ? 1 : 0);
      line.push(halfIn * t, (side < 0 ? -up : down) * bow + dip);
    }
    return line;
  }
  function outer(side) {
    const line = [];
    for (let i = 0; i <= 60; i++) {
      const t = i / 30 - 1, a = Math.abs(t);
      if (side > 0) {
        line.push(half * t, (down + lower) * Math.max(1 - a ** 2.3, 0) ** (0.82 - 0.26 * rounded));
        continue;
      }
      const peak = 0.2 + 0.05 * rounded, rise = Math.max((1 - a) / (1 - peak), 0);
      const loose = 0.35 * rise + 0.65 * Math.sin(0.5 * Math.PI * limited(rise));
      const slope = a < peak ? 1 : loose ** (1 - 0.4 * rounded);
      const deep = 0.22 * (1 - 0.5 * rounded) * (1 - spread * 0.4);
      line.push(half * t, -(up + upper) * (slope - deep * Math.cos(0.5 * Math.PI * limited(a / peak)) ** 2));
    }
    return line;
  }
  const lines = { ui: inner(-1), li: inner(1), uo: outer(-1), lo: outer(1) }, hole = joined(lines.ui, backwards(lines.li));
  if (open) {
    ctx.save();
    pen.path(hole, true);
    pen.fillPath("contact_edge");
    ctx.clip();
    const seen = 3.4 * tucked + (1 - tucked) * Math.min(0.45 * shown, 3.6) * (1 - 0.75 * rounded);
    teeth(pen, -up - 4, -up + seen, [8.4, 6.6, 7.4, 7]);
    const edge = -up + seen + Math.max(now.jaw, 0.3);
    if (tucked < 0.5 && rounded < 0.6 && edge < down - 0.4) teeth(pen, edge, down + 4, [5.4, 5.9, 6.8, 7]);
    ctx.restore();
  }
  pen.fill(joined(lines.uo, backwards(lines.ui)), "mover");
  pen.fill(joined(lines.lo, backwards(lines.li)), "mover");
  pen.stroke(joined(lines.uo, backwards(lines.lo)), "ink", 3, { closed: true });
  if (open) pen.stroke(hole, "ink", 2.4, { closed: true });
  else {
    pen.stroke(lines.ui, "contact_edge", 7.5, { cap: "butt" });
    pen.stroke(lines.ui, "contact", 4.5, { cap: "butt" });
  }
}

function teeth(pen, top, bottom, widths) {
  if (bottom - top < 1.3) return;
  for (const side of [-1, 1]) {
    let at = 0;
    widths.forEach((width, number) => {
      const seen = width * (1 - 0.12 * number), x = side > 0 ? at : -at - seen;
      pen.ctx.beginPath();
      pen.ctx.rect(x, top, seen, bottom - top);
      pen.fillPath("tooth");
      pen.strokePath("contact_edge", 1, { opacity: 0.8 });
      at += seen;
    });
  }
}

let palateLines = null;

function linesOfPalate() {
  let at = 0;
  palateLines ??= DATA.palatogram.lines.map(([role, width, opacity, closed, count]) =>
    [role, width, opacity, TABLES.palatogram_lines.data.slice(at, (at += count)), closed]);
  return palateLines;
}

// Front teeth at the top. Contact is packed row by row, from behind the incisors back, and is the same on both sides.
function drawPalatogram(canvas, half, time, colours) {
  const { box, middle, depth } = DATA.palatogram, lines = linesOfPalate(), pen = insetPen(canvas, box[0], box[1], colours);
  if (!pen) return;
  pen.thick = 1;
  const teeth = lines.findIndex(([role]) => role === "tooth");
  const line = ([role, width, opacity, points, closed]) => {
    if (width === null) pen.fill(points, role, opacity);
    else pen.stroke(points, role, width, { opacity, closed });
  };
  lines.slice(0, teeth).forEach(line);
  const prefix = LETTERS[half], position = (time - HALVES[half].offset) * DATA.rate;
  const from = mixed(TABLES[prefix + "palatogram_from"], position), to = mixed(TABLES[prefix + "palatogram_to"], position);
  const rails = [];
  for (let i = 0; i <= from.length; i++) {
    const on = i < from.length && to[i] > from[i];
    if (on) {
      if (!i || !(to[i - 1] > from[i - 1])) rails.push([[], []]);
      const y = depth[0] + depth[1] * i - middle, rail = rails[rails.length - 1];
      rail[0].push(from[i], y);
      rail[1].push(to[i], y);
    }
  }
  const { ctx } = pen, shapes = [];
  for (const [inner, outer] of rails) {
    if (inner.length < 4) continue;
    const right = softened2(joined(inner, backwards(outer)));
    shapes.push(right, right.map((value, i) => (i % 2 ? value : -value)));
  }
  for (const role of ["contact_edge", "contact"]) {
    ctx.beginPath();
    for (const shape of shapes) pen.add(shape, true);
    if (role === "contact_edge") pen.strokePath(role, 2);
    pen.fillPath(role);
  }
  lines.slice(teeth).forEach(line);
  if (mixed(TABLES[prefix + "palatogram_teeth"], position)[0] > 0.5) {
    const rim = [];
    for (let i = -6; i <= 6; i++) rim.push(1.08 * i, 3.9 + 0.5 * (i / 6) ** 2 - middle);
    pen.stroke(rim, "contact_edge", 3.6);
    pen.stroke(rim, "contact", 2.2);
  }
}

// A ring without its steps: every point half way to its neighbours.
function softened2(ring) {
  const n = ring.length;
  return ring.map((value, i) => value / 2 + (ring[(i + 2) % n] + ring[(i - 2 + n) % n]) / 4);
}
