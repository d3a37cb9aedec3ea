// Marks on the side view: air that is held and that flows, and what renders/marks draws at every frame.

const { flow: FLOW, crowd: CROWD, pressure: HELD, overlay: OVERLAY } = DATA.marks;

// The ring around held air under the organs, and the corner behind the soft palate (renders/page/air.py).
function heldRings({ prefix, position }) {
  const values = rowOf(TABLES[prefix + "held"], position), count = values.length / 2, walls = [[], []];
  const start = TABLES.grid_start.data, along = TABLES.grid_along.data;
  for (let i = 0; i < count; i++) {
    if (values[i] !== values[i]) continue;
    for (const side of [0, 1]) {
      const mm = values[side * count + i];
      walls[side].push(start[2 * i] + mm * along[2 * i], start[2 * i + 1] + mm * along[2 * i + 1]);
    }
  }
  const corner = rowOf(TABLES[prefix + "corner"], position);
  return [ring(walls[0], walls[1]), corner].filter((line) => line.length && line[0] === line[0]);
}

function drawTint(pen, rings, level) {
  pen.begin();
  for (const line of rings) pen.add(line, true);
  pen.fill("airtint", mix(HELD.tint_least, 1, level) * level);
}

function drawDots(pen, { prefix, position }) {
  const on = rowOf(TABLES[prefix + "dots"], position), places = TABLES[prefix + "places"].data, radius = HELD.dot_mm;
  pen.begin();
  on.forEach((dotted, i) => {
    if (!dotted) return;
    pen.ctx.moveTo(places[2 * i] + radius, places[2 * i + 1]);
    pen.ctx.arc(places[2 * i], places[2 * i + 1], radius, 0, 7);
  });
  pen.fill("air");
}

// The point of a line of equal steps at a share of its length.
function pointAt(line, share) {
  const last = line.length / 2 - 1, at = limited(share) * last, i = Math.min(Math.floor(at), last - 1);
  return [mix(line[2 * i], line[2 * i + 2], at - i), mix(line[2 * i + 1], line[2 * i + 3], at - i)];
}

function stretchOf(line, from, to) {
  const last = line.length / 2 - 1, out = [...pointAt(line, from)];
  for (let i = Math.ceil(from * last + 1e-6); i < to * last - 1e-6; i++) out.push(line[2 * i], line[2 * i + 1]);
  return out.concat(pointAt(line, to));
}

// Where arrowheads stand on a line, in mm from its start: evenly, as far as the air has come, or crowded at its end.
function headsOn(number, length, crowd, travel) {
  const found = [];
  if (crowd) {
    let at = length - FLOW.end_mm + CROWD.first_mm * (CROWD.lag_share + CROWD.lag_line_share * number);
    for (let k = 0; k < CROWD.most; k++) found.push((at -= CROWD.first_mm * CROWD.growth ** k));
    return found.filter((mm) => mm > FLOW.start_mm);
  }
  const spacing = FLOW.arrow_spacing_mm;
  for (let at = FLOW.start_mm + ((travel + (spacing / 2) * (number % 2)) % spacing); at < length - FLOW.end_mm; at += spacing) found.push(at);
  return found;
}

function drawFlow(pen, shape, way) {
  const { prefix, position } = shape, name = `${prefix}flow_${way}`, [count, stations, , , kept] = HALVES[shape.half].flows[way];
  const more = mixed(TABLES[name + "_more"], position), opacity = more[count], travel = signalAt(shape.half, "travel", shape.time);
  if (opacity < FLOW.unseen) return;
  const lines = parted(mixed(TABLES[name], position), count).map((points) => opened(points, kept, stations));
  const stretches = (part) => parted(mixed(TABLES[`${name}_${part}`], position), count).map((row) => parted(row, row.length / 2).filter(([a]) => a === a));
  const drawn = stretches("drawn"), fits = stretches("heads");
  pen.begin();
  lines.forEach((line, n) => drawn[n].forEach(([from, to]) => pen.add(stretchOf(line, from, to))));
  pen.stroke("air", FLOW.line_px, { opacity, dash: more[count + 1] > 0.5 ? FLOW.breathed_dash_mm : null });
  pen.begin();
  lines.forEach((line, n) => {
    for (const at of headsOn(n, more[n], way === "held", travel)) {
      if (!fits[n].some(([from, to]) => from * more[n] < at && at <= to * more[n])) continue;
      const [[x, y], [ax, ay], [bx, by]] = [0, -1, 1].map((side) => pointAt(line, (at + side * FLOW.arrow_along_mm) / more[n]));
      const angle = Math.atan2(by - ay, bx - ax), half = (FLOW.arrow_half_angle_deg * Math.PI) / 180, size = -FLOW.arrow_mm;
      const end = (turn) => [x + size * Math.cos(angle + turn), y + size * Math.sin(angle + turn)];
      pen.add([...end(-half), x, y, ...end(half)]);
    }
  });
  pen.stroke("air", FLOW.head_line_px, { opacity });
}

// What Python draws at every frame, played (renders/page/display_film.py); `without`: one of its names.
function drawFilm(pen, name, { half, prefix, position }, drift, without) {
  const { rows, lines, every } = HALVES[half].drawn[name], table = `${prefix}drawn_${name}`;
  const values = mixed(TABLES[table], position / every), opacities = mixed(TABLES[table + "_opacity"], position / every);
  const c = Math.cos(2 * Math.PI * drift), s = Math.sin(2 * Math.PI * drift);
  let at = 0;
  const drawn = lines.map(([count, closed, drifts]) => {
    const [still, more, most] = [0, 1, 2].map((k) => values.subarray(at + k * count, at + (k + 1) * count));
    at += (drifts ? 3 : 1) * count;
    return [drifts ? still.map((value, i) => value + c * more[i] + s * most[i]) : still, closed];
  });
  rows.forEach(([role, width, dash, cap, join, casing, numbers, label], row) => {
    const opacity = opacities[row];
    if (opacity < FLOW.unseen || label === without) return;
    pen.begin();
    for (const number of numbers) pen.add(...drawn[number]);
    if (width === null) pen.fill(role, opacity);
    else pen.stroke(role, width, { opacity, dash, cap: cap || "round", join: join || "round", casing });
  });
}

// What only one of two shapes fills is hatched; the second's outlines are dashed, the first's lie over them.
function drawOverlay(pen, first, second) {
  const { ctx } = pen;
  for (const organ of OVERLAY.hatched) {
    ctx.save();
    pen.begin();
    for (const { lines } of [first, second]) pen.add(lines[organ], true);
    ctx.clip("evenodd");
    pen.begin();
    for (let x = 2 * LEFT_MM - RIGHT_MM; x < RIGHT_MM; x += OVERLAY.hatch_mm) pen.add([x, BOTTOM_MM, x + TOP_MM - BOTTOM_MM, TOP_MM]);
    pen.stroke("ink", OVERLAY.hatch_px, { opacity: OVERLAY.hatch_opacity });
    ctx.restore();
  }
  const all = ({ lines }) => {
    pen.begin();
    for (const organ of OVERLAY.lines) pen.add(lines[organ]);
  };
  all(second);
  pen.stroke("mover_line", OVERLAY.second_px, { dash: OVERLAY.dash_mm, cap: "butt", casing: ["airway", OVERLAY.second_px + OVERLAY.casing_px] });
  all(first);
  pen.stroke("ink", OVERLAY.first_px);
}

// A canvas as sharp as the screen, with nothing on it but its ground.
function cleared(canvas, ground) {
  const ratio = window.devicePixelRatio || 1, w = canvas.clientWidth, h = canvas.clientHeight, ctx = canvas.getContext("2d");
  const pw = Math.round(w * ratio), ph = Math.round(h * ratio);
  if (canvas.width !== pw || canvas.height !== ph) Object.assign(canvas, { width: pw, height: ph });
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.globalAlpha = 1;
  ctx.fillStyle = ground;
  if (ground) ctx.fillRect(0, 0, pw, ph);
  else ctx.clearRect(0, 0, pw, ph);
  return { ctx, w, h, ratio };
}

const pressureAt = ({ prefix, position }) => rowOf(TABLES[prefix + "tint"], position)[0];

// One side view: `shape`, and with `other` the two laid over each other; `held`: rings and level of the tint that is shown.
function drawSide(canvas, shape, { other = null, held = null, drift = 0, without = null, colours }) {
  const { ctx, w, h, ratio } = cleared(canvas, colours.panel);
  if (!w || !h) return;
  const scale = setView(ctx, w, h, ratio), pen = new Pen(ctx, Math.max(scale / 4, 0.45) / scale, colours);
  const { rings, level } = held || { rings: heldRings(shape), level: pressureAt(shape) };
  drawOrgans(pen, shape, canvas, other ? 0 : level, rings);
  if (other) {
    drawOverlay(pen, shape, other);
    for (const name of DATA.marks.compared) for (const one of [shape, other]) drawFilm(pen, name, one, drift);
    return;
  }
  drawDots(pen, shape);
  for (const way of Object.keys(HALVES[shape.half].flows)) drawFlow(pen, shape, way);
  for (const name of DATA.marks.layers) drawFilm(pen, name, shape, drift, without);
}
