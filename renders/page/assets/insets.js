// Small views beside the side view, y down: what Python draws of folds and lips is played; for some pairs also the roof of
// the mouth from below with what the tongue touches (renders/page/palatogram.py).

function insetPen(canvas, [wide, high], colours) {
  const { ctx, w, h, ratio } = cleared(canvas), scale = Math.min(w / wide, h / high);
  if (!w || !h) return null;
  ctx.setTransform(ratio * scale, 0, 0, ratio * scale, (ratio * w) / 2, (ratio * h) / 2);
  return new Pen(ctx, 1, colours);
}

function drawInset(canvas, name, shape, drift, colours) {
  const pen = insetPen(canvas, DATA.insets_mm[name], colours);
  if (pen) drawFilm(pen, name, shape, drift);
}

// Contact is packed row by row, from behind the incisors back, and is the same on both sides.
function drawPalatogram(canvas, half, time, colours) {
  const { box, middle, depth, lines, rim, edge_mm } = DATA.palatogram, pen = insetPen(canvas, box, colours);
  if (!pen) return;
  const drawn = linesOf(lines, TABLES.palatogram_lines);
  const teeth = drawn.findIndex(({ role }) => role === "tooth"), prefix = LETTERS[half], position = framesTo(half, time);
  const [from, to, atTeeth] = ["from", "to", "teeth"].map((name) => mixed(TABLES[`${prefix}palatogram_${name}`], position));
  const rails = [[[], []]];
  from.forEach((mm, i) => {
    const rail = rails[rails.length - 1], y = depth[0] + depth[1] * i - middle;
    if (to[i] > mm) [mm, to[i]].forEach((x, side) => rail[side].push(x, y));
    else if (rail[0].length) rails.push([[], []]);
  });
  const touched = new Path2D();
  for (const [inner, outer] of rails.filter(([inner]) => inner.length > 2)) {
    const right = softened(ring(inner, outer));
    for (const side of [right, right.map((value, i) => (i % 2 ? value : -value))]) trace(touched, side, true);
  }
  drawLines(pen, drawn.slice(0, teeth));
  pen.stroke("contact_edge", edge_mm[0], {}, touched);
  pen.fill("contact", 1, touched);
  drawLines(pen, drawn.slice(teeth));
  if (atTeeth[0] <= 0.5) return;
  pen.begin();
  pen.add(rim);
  pen.stroke("contact", edge_mm[2], { casing: ["contact_edge", edge_mm[1]] });
}

// A ring without its steps: every point half way to its neighbours.
function softened(line) {
  const n = line.length;
  return line.map((value, i) => value / 2 + (line[(i + 2) % n] + line[(i - 2 + n) % n]) / 4);
}
