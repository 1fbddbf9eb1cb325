// The dial: the same instant as a sweeping hand. Its rim is a rope of sixty floats; lanes' next send-offs are pinned to it.

const SVG = "http://www.w3.org/2000/svg";

// A chip for each mark outside the rim.
function chipsAround(marks, boxes) {
  const sized = marks.map(mark => sizedChip(mark[1], mark[0], boxes)), placed = chipBoxes(marks.map(mark => mark[0]), sized, boxes);
  return marks.map((mark, i) =>
    ({ second: mark[0], text: sized[i].text, lines: sized[i].lines, colour: mark[2], later: mark[3], box: placed[i] }));
}

class DialView {
  constructor(canvas, box, glass, theme, lanes) {
    Object.assign(this, { canvas, box, glass, theme });
    const boxes = this.boxes = dialBoxes(box, glass, lanes);
    this.ground = new Plate(canvas);
    this.ground.put(box, theme.ground);
    this.drawRim();
    this.numerals = Array.from({ length: 60 / NUMERALS }, (_, place) => {
      const second = place * NUMERALS, angle = second * Math.PI / 30, text = String(second || 60), cap = boxes.numeralCap;
      const x = boxes.centre[0] + boxes.numeralRadius * Math.sin(angle), y = boxes.centre[1] + boxes.numeralRadius * Math.cos(angle);
      const wide = measure(text, cap, true) + 2, high = LINE * cap, words = new Words(canvas, "numeral");
      words.put(text, new Box(x - wide / 2, y - high / 2, wide, high), cap, 1, theme.ink, { bold: true, across: "middle" });
      return words;
    });
    this.pins = this.svg();
    this.chips = [];
    this.drawHand();
    this.clock = new Digits(canvas, "clock");
    this.session = new Digits(canvas, "session");
    this.label = new Words(canvas, "session label");
    this.section = new Words(canvas, "section");
    this.whose = new Words(canvas, "whose clock");
    this.rows = boxes.rows.map(row => new DialRow(canvas, row, boxes.unit, theme));
  }

  svg() {
    const made = document.createElementNS(SVG, "svg");
    made.setAttribute("viewBox", "0 0 " + this.box.width + " " + this.canvas.height);
    made.setAttribute("class", "cover");
    this.canvas.root.appendChild(made);
    return made;
  }

  add(parent, tag, values) {
    const made = document.createElementNS(SVG, tag);
    Object.keys(values).forEach(key => made.setAttribute(key, values[key]));
    parent.appendChild(made);
    return made;
  }

  at(radius, degrees) {
    const angle = degrees * Math.PI / 180, [cx, cy] = this.boxes.centre;
    return [cx + radius * Math.sin(angle), this.canvas.height - (cy + radius * Math.cos(angle))];
  }

  drawRim() {
    const boxes = this.boxes, theme = this.theme, rim = this.svg(), cy = this.canvas.height - boxes.centre[1];
    this.add(rim, "circle", { cx: boxes.centre[0], cy, r: boxes.radius, fill: theme.water });
    for (let second = 0; second < 60; second++) {
      const spot = this.at(boxes.radius, second * 6);
      this.add(rim, "circle", { cx: spot[0], cy: spot[1], r: boxes.float * (second % 5 ? 0.55 : 1) / 2,
        fill: second % 15 ? theme.rope : theme.float_ });
    }
  }

  drawHand() {
    const boxes = this.boxes, theme = this.theme, layer = this.svg(), cx = boxes.centre[0], cy = this.canvas.height - boxes.centre[1];
    this.hand = this.add(layer, "g", {});
    for (let step = 0; step < 14; step++) {  // where the hand has been for the last seconds
      const a = this.at(boxes.handLength * 0.98, -step * 2.2), b = this.at(boxes.handLength * 0.98, -(step + 1) * 2.2);
      this.add(this.hand, "path", { d: "M" + cx + " " + cy + "L" + a + "L" + b + "z", fill: theme.float_,
        "fill-opacity": 0.34 * (1 - step / 14) });
    }
    const half = boxes.handWidth / 2, neck = cy - boxes.neck, tip = cy - boxes.handLength, needle = Math.max(1.5, 0.1 * half);
    this.add(this.hand, "path", { fill: theme.ink, d: "M" + [cx - half, cy + 2.2 * half] + "L" + [cx + half, cy + 2.2 * half] +
      "L" + [cx + half * 0.6, neck + half] + "L" + [cx, neck] + "L" + [cx - half * 0.6, neck + half] + "z" });
    this.add(this.hand, "rect", { x: cx - needle, y: tip, width: 2 * needle, height: neck + half - tip, fill: theme.ink });
    this.add(layer, "circle", { cx, cy, r: 1.5 * half, fill: theme.ink });
  }

  show(parts, atMs, stale) {
    const pool = inForce(parts.pool, atMs), boxes = this.boxes;
    const degrees = Math.floor((atMs + pool.phase_ms) % 60000 / 50) * 0.3;  // twenty times a second is smooth enough
    if (degrees !== this.degrees) {
      this.degrees = degrees;
      this.hand.setAttribute("transform", "rotate(" + [degrees, boxes.centre[0], this.canvas.height - boxes.centre[1]] + ")");
    }
    const session = pool.session || down(pool.to_ms, atMs) || up(pool.since_ms, atMs);
    const said = String([pool.begun ? session.length : session, stale]);
    if (pool !== this.pool || said !== this.said) {
      Object.assign(this, { pool, said });
      this.write(session, stale);
    }
    this.clock.show(clockReading(atMs, pool.phase_ms));
    if (pool.begun) this.session.show(session);
    this.rows.forEach((row, lane) => row.show(inForce(parts["band " + lane], atMs), atMs, stale));
  }

  write(session, stale) {
    const boxes = this.boxes, theme = this.theme, unit = boxes.unit, pool = this.pool;
    this.clock.lay(boxes.clock, boxes.clock.height, theme.ink, "left");
    this.section.put(pool.dial_section, boxes.section, unit, unit, theme.ink, { bold: true });
    this.whose.put(pool.whose, boxes.whose, unit, unit, theme.dim, { lines: boxes.whose.height > LINE * unit ? 2 : 1 });
    if (pool.begun) {
      const left = boxes.session.x + digitsWidth(session, fontSize(unit)) + 0.4 * unit;
      const room = but(boxes.label, { x: left, width: boxes.label.right - left });
      const ways = [pool.session_label, pool.session_short].filter(way => measure(way, unit) <= room.width);
      this.label.put(ways.length ? ways : "", room, unit, unit, theme.dim);
      this.session.lay(but(boxes.session, { y: boxes.session.y + FOOT * unit, height: unit }), unit, theme.ink, "left", "bottom");
    } else {
      const row = but(boxes.session, { width: boxes.label.right - boxes.session.x });
      this.label.put([pool.session_label + " " + session, session], row, unit, unit, theme.dim);
      this.session.show("");
    }
    this.pin(stale);
  }

  pin(stale) {
    const boxes = this.boxes, unit = boxes.unit, chips = chipsAround(this.pool.marks, boxes);
    this.pins.textContent = "";
    this.pins.style.opacity = stale ? 0.45 : 1;
    while (this.chips.length < chips.length) {
      this.chips.push([new Plate(this.canvas), new Plate(this.canvas), new Words(this.canvas, "mark")]);
    }
    this.chips.forEach(([plate, hollow, words], place) => {
      const chip = chips[place], edge = Math.max(2, 0.14 * unit), theme = this.theme, opacity = stale ? 0.45 : 1;
      hollow.hide();
      if (!chip) { plate.hide(); words.clear(); return; }
      const colour = TABLET.states[chip.colour], spot = this.at(boxes.radius, chip.second * 6);
      const to = [chip.box.x + chip.box.width / 2, this.canvas.height - (chip.box.y + chip.box.height / 2)];
      this.add(this.pins, "path", { d: "M" + spot + "L" + to, stroke: colour, "stroke-width": Math.max(3, boxes.float * 0.28) });
      this.add(this.pins, "circle", { cx: spot[0], cy: spot[1], r: boxes.float * 0.75, fill: colour });
      plate.put(chip.box, colour, opacity, unit * 0.4);
      if (chip.later) {  // in a minute or more
        this.add(this.pins, "circle", { cx: spot[0], cy: spot[1], r: boxes.float * 0.375, fill: theme.ground });
        hollow.put(chip.box.inset(edge), theme.ground, 1, unit * 0.4 - edge);
      }
      words.put(chip.text, chip.box.inset(0.25 * unit, 0.1 * unit), unit, unit, chip.later ? theme.ink : theme.on_state,
        { bold: true, across: "middle", lines: chip.lines });
    });
  }
}

// A lane beside the dial: number, state, count-down, the mark to leave on.
class DialRow {
  constructor(canvas, box, unit, theme) {
    Object.assign(this, { box, unit, theme });
    this.plate = new Plate(canvas);
    this.edge = new Plate(canvas);
    this.shape = new StateShape(canvas);
    this.number = new Words(canvas, "number");
    this.count = new Digits(canvas, "count");
    this.at = new Words(canvas, "at");
    this.mark = new Words(canvas, "mark");
  }

  show(card, atMs, stale) {
    const count = down(card.leave_ms, atMs), size = String([count.length > 5, count.length < 5, stale]);
    if (card !== this.card || size !== this.size) {
      Object.assign(this, { card, size });
      this.write(count.length > 5, count.length < 5);
      [this.count, this.mark, this.at].forEach(piece => piece.style({ opacity: stale ? "0.45" : "1" }));
    }
    this.count.show(count);
  }

  write(long, short) {
    const { card, box, unit, theme } = this, flip = card.state === "ready" || card.state === "go";
    const state = TABLET.states[card.state], ink = flip ? theme.on_state : theme.ink;
    this.plate.put(box, flip ? state : theme.deck);
    this.edge.put(but(box, { width: Math.max(4, 0.2 * unit) }), state);
    const number = measure("88", unit, true), base = box.y + (box.height - unit) / 2;
    let left = box.x + 0.5 * unit, right = box.right - 0.4 * unit;
    this.number.put(card.lane, lineBox(left, base, number, unit), unit, unit, ink, { bold: true, across: "middle" });
    left += number + 0.5 * unit;
    this.shape.put(card.shape, new Box(left, base, unit, unit), ink);
    left += 1.6 * unit;
    if (!card.clock) {
      this.at.clear();
      this.mark.put(card.word, lineBox(left, base, right - left, unit), unit, unit, ink, { bold: true, across: "right" });
      return;
    }
    const mark = long ? 0 : measure(":88", unit, true), dim = flip ? ink : theme.dim;
    this.mark.put(long ? "" : card.clock, lineBox(right - mark, base, mark + 1, unit), unit, unit, dim, { bold: true });
    right -= mark;
    const wide = measure(TABLET.words.at, unit);
    const room = right - left - digitsWidth(short ? "8:88" : "88:88", fontSize(unit));
    if (mark && wide + 0.65 * unit <= room) {
      this.at.put(TABLET.words.at, lineBox(right - 0.25 * unit - wide, base, wide + 1, unit), unit, unit, dim);
      right -= wide + 0.65 * unit;
    } else {
      this.at.clear();
      right -= mark ? Math.min(1.1 * unit, Math.max(0.4 * unit, room)) : 0;
    }
    this.count.lay(new Box(left, base, Math.max(0, right - left), unit), unit, ink, "right", "bottom");
  }
}
