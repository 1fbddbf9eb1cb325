// The lane view, the swimmers': one lane fills the screen, in tiers that are read from different distances.

// The stretches of a repeat side by side, the present one lit, and how far it is done.
class Ribbon {
  constructor(canvas) { this.canvas = canvas; this.pieces = []; this.progress = null; this.track = null; this.labels = null; }

  // With words where `labels` are wanted and fit into every stretch; else a bar of the height `bar`.
  put(card, box, theme, unit, state, flipped, labels = false, bar = box.height) {
    const gap = Math.max(2, 0.1 * unit), said = this.labels = labels ? labelsOf(card.ribbon, box.width, gap, unit) : null;
    if (!said) box = but(box, { height: Math.min(bar, box.height) });
    while (this.pieces.length < card.ribbon.length) {
      this.pieces.push([new Plate(this.canvas), new Frame(this.canvas), new Words(this.canvas, "segment")]);
    }
    if (!this.progress) this.progress = new Plate(this.canvas);
    this.pieces.forEach(([plate, frame, words], place) => {
      const piece = card.ribbon[place], lit = place === card.lit, first = card.lit < 0 && place === 0;
      frame.hide();
      words.clear();
      if (!piece) { plate.hide(); return; }
      const spot = box.part(piece[1], piece[2]), left = Math.round(spot.x);
      const right = Math.round(spot.right - (piece[2] < 1 ? gap : 0));
      const at = new Box(left, spot.y, Math.max(1, right - left), spot.height);
      if (lit && !flipped) plate.put(at, state); else plate.put(at, theme.line, said ? 0.18 : 0.3);
      if (first) frame.put(at, theme.name === "dark" && !flipped ? state : theme.ink, Math.max(2, 0.08 * unit));
      if (said) {
        words.put(said[place], plate.box.inset(0.25 * unit, 0), unit, unit, lit ? theme.on_state : first ? theme.ink : theme.dim,
          { bold: lit || first });
      }
    });
    this.lit = card.lit >= 0 ? card.ribbon[card.lit] : null;
    this.track = but(box, { height: said ? Math.max(3, 0.16 * unit) : box.height });
    this.ink = theme.ink;
    this.progress.hide();
  }

  show(done) {
    if (!this.track || !this.lit) return;
    const wide = Math.floor(this.track.width * (this.lit[1] + (this.lit[2] - this.lit[1]) * done));
    this.progress.put(but(this.track, { width: wide }), this.ink);
  }
  hide() {
    this.track = this.labels = null;
    this.pieces.forEach(([plate, frame, words]) => { plate.hide(); frame.hide(); words.clear(); });
    if (this.progress) this.progress.hide();
  }
}

// Each stretch said as long as fits into it; null where one of them cannot be said.
function labelsOf(ribbon, width, gap, unit) {
  if (ribbon.length > 24) return null;
  const labels = ribbon.map(piece => {
    const room = (piece[2] - piece[1]) * width - gap - 0.5 * unit - 2;
    return piece[0].find(label => measure(label, unit, true) <= room) || "";
  });
  return labels.every(Boolean) ? labels : null;
}

class LaneView {
  constructor(canvas, box, glass, theme) {
    Object.assign(this, { canvas, box, glass, theme });
    const words = name => new Words(canvas, name);
    this.ground = new Plate(canvas);
    this.block = new Plate(canvas);
    this.blockEdge = new Frame(canvas);
    this.number = new Digits(canvas, "number");
    this.shape = new StateShape(canvas);
    this.word = words("state");
    this.hero = new Digits(canvas, "count-down");
    this.swumHero = new Digits(canvas, "count-up", false);
    this.heroWord = words("hero");
    this.heroLabel = words("hero label");
    this.heroArrow = new StateShape(canvas);
    this.rule = new Plate(canvas);
    this.now = new Digits(canvas, "now");
    this.leave = new Digits(canvas, "leave");
    this.nowLabel = words("now label");
    this.leaveLabel = words("leave label");
    this.leavers = words("leavers");
    this.swum = new Digits(canvas, "swum", false);
    this.swumLabel = words("swum label");
    this.segment = new Plate(canvas);
    this.ribbon = new Ribbon(canvas);
    this.frame = new Frame(canvas);
    this.tag = words("tag");
    this.doing = words("doing");
    this.cue = words("cue");
    this.footLeft = words("set");
    this.warning = new StateShape(canvas);
    this.tight = words("tight");
    this.footRight = words("after");
    this.laid = "";
  }

  // What `parts` (cards by part) say at an instant; `stale`: send-offs may have changed.
  show(parts, atMs, stale) {
    const card = inForce(parts.lane, atMs), pool = inForce(parts.pool, atMs);
    const swum = up(card.sent_ms, atMs);
    if (card !== this.card || pool !== this.pool || stale !== this.stale || Boolean(swum) !== this.isSwum) {
      Object.assign(this, { card, pool, stale, isSwum: Boolean(swum) });
      this.write();
    }
    if (card.kind === "down") this.hero.show(down(card.hero_ms, atMs));
    if (card.kind === "up") this.swumHero.show(up(card.hero_ms, atMs));
    if (card.label_ms !== null) {
      const label = card.hero_label + " " + down(card.label_ms, atMs);
      if (label !== this.label) { this.label = label; this.writeSaid(label); }
    }
    this.now.show(clockReading(atMs, pool.phase_ms));
    if (this.boxes.swum) this.swum.show(card.kind === "up" ? "" : swum);
    if (card.lit >= 0) this.ribbon.show(doneOf(card, atMs));
  }

  write() {
    const card = this.card, glass = this.glass, theme = this.theme, state = TABLET.states[card.state];
    const work = Boolean(card.doing[0]);
    const extra = card.several || this.isSwum, cued = laneBoxes(this.box, glass, true, work, extra);
    const how = work && card.lit < 0 && this.tells(card.how, cued) ? card.how : "";
    this.told = card.state === "talk" && how || card.cue || how;
    const laid = String([Boolean(this.told), work, extra]);
    if (laid !== this.laid) {
      this.laid = laid;
      this.boxes = this.told ? cued : laneBoxes(this.box, glass, false, work, extra);
    }
    const boxes = this.boxes, dark = theme.name === "dark";
    let ground = theme.ground, ink = theme.ink, dim = theme.dim, block = state, blockInk = theme.on_state;
    if (card.inverted) {
      ground = dark ? state : theme.flip;
      ink = dim = dark ? theme.on_state : state;
      block = ink;
      blockInk = ground;
    }
    Object.assign(this, { groundColour: ground, ink, dim, state, label: "" });
    this.ground.put(this.box, ground);
    this.block.put(boxes.block, block);
    if (contrast(rgb(block), rgb(ground)) < 1.5) this.blockEdge.put(boxes.block, ink, Math.max(2, 0.01 * boxes.block.height));
    else this.blockEdge.hide();
    this.number.lay(boxes.number, boxes.number.height, blockInk, "middle");
    this.number.show(card.lane);
    this.shape.put(card.shape, boxes.shape, blockInk);
    if (card.kind === "word") {
      this.writeSaid(card.hero_label);
      this.heroLabel.clear();
      this.heroArrow.hide();
    } else {
      this.word.put(card.word, boxes.word, boxes.word.height / CAPITALS, glass.tier1Px, ink, { bold: true });
      this.labelHero();
    }
    this.hero.lay(boxes.hero, boxes.hero.height, ink, "middle");
    this.swumHero.lay(boxes.hero, boxes.hero.height * 0.8, ink, "middle");
    if (card.kind !== "down") this.hero.show("");
    if (card.kind !== "up") this.swumHero.show("");
    this.heroWord.put(card.kind === "word" ? card.hero : "", boxes.heroWord, boxes.hero.height, glass.tier1Px, ink,
      { bold: true, across: "middle" });
    this.rule.put(boxes.rule, card.inverted ? dim : theme.line);
    this.writeClocks();
    this.writeWork();
    this.writeFoot();
    const grey = this.stale ? "0.45" : "1";  // what may have changed
    [this.hero, this.heroLabel, this.heroArrow, this.leave, this.leaveLabel, this.leavers].forEach(piece => piece.style({ opacity: grey }));
  }

  // How a drill is swum stands in the place of a cue before the swim, and before a cue at the changeover, where all of
  // it has room: half of it would mislead.
  tells(how, boxes) {
    if (!how || !boxes.cue) return false;
    const fitted = fit([how], boxes.cue.width, boxes.cue.height, boxes.cueCap, boxes.labelCap, false, 3);
    return !fitted.small && fitted.lines.join(" ") === how;
  }

  // What is counted, over the end of the digits, with an arrow to them.
  labelHero() {
    const cap = this.boxes.labelCap, label = this.card.hero_label, side = 0.8 * cap;
    let box = this.boxes.heroLabel;
    if (box.height > LINE * cap + 1) {  // beside the state, however short that is
      const left = this.boxes.word.x + this.word.width + 0.8 * cap;
      box = but(box, { x: left, width: box.right - left });
    }
    const room = but(box, { width: box.width - side - 0.4 * cap });
    this.heroLabel.put(label, room, cap, cap, this.dim, { across: "right", rise: "bottom", lines: 2 });
    if (label) this.heroArrow.put("down", new Box(box.right - side, box.y + (FOOT + 0.1) * cap, side, side), this.dim);
    else this.heroArrow.hide();
  }

  writeSaid(label) {
    const boxes = this.boxes;
    this.word.put(label, boxes.said, Math.min(this.glass.tier2Px, boxes.said.height / LINE), boxes.labelCap, this.dim,
      { lines: 2 });
  }

  writeClocks() {
    const card = this.card, boxes = this.boxes, coach = boxes.labelCap, ink = this.ink, dim = this.dim;
    const lines = boxes.nowLabel.height >= linesHeight(2, coach) ? 2 : 1;
    this.nowLabel.put(this.pool.whose, boxes.nowLabel, coach, coach, dim, { lines });
    this.now.lay(boxes.now, boxes.clockCap, ink, boxes.nowAcross, boxes.nowAcross === "right" ? "bottom" : "middle");
    this.leaveLabel.put(card.leave ? [card.leave_label, TABLET.words.at] : card.leave_label, boxes.leaveLabel, coach, coach, dim, { lines });
    this.leave.lay(boxes.leave, boxes.clockCap, ink, boxes.nowAcross);
    this.leave.show(card.leave);
    const swum = this.isSwum && card.kind !== "up";
    if (!boxes.leavers) {
      [this.leavers, this.swumLabel].forEach(piece => piece.clear());
      this.swum.show("");
      return;
    }
    if (swum) this.leavers.clear();
    else this.leavers.put(card.later, boxes.leavers, Math.max(coach, boxes.leaversCap), coach, ink, { lines: 2 });
    this.swumLabel.put(swum ? this.pool.swum : "", boxes.swumLabel, coach, coach, dim);
    this.swum.lay(boxes.swum, boxes.swumCap, ink, boxes.nowAcross, "bottom");
  }

  writeWork() {
    const card = this.card, boxes = this.boxes, theme = this.theme, box = boxes.segment, ink = this.ink;
    const coach = boxes.labelCap;
    if (!box || !card.doing[0]) {
      [this.segment, this.ribbon, this.frame].forEach(piece => piece.hide());
      [this.tag, this.cue].forEach(piece => piece.clear());
      this.doing.put(card.in_all, boxes.total, boxes.clockCap, coach, ink, { bold: true });
      return;
    }
    if (card.ribbon.length <= 1 && card.lit < 0) this.ribbon.hide();
    else {
      const colours = card.inverted ? Object.assign({}, theme, { ground: this.groundColour, ink, dim: ink, line: ink }) : theme;
      this.ribbon.put(card, boxes.ribbon, colours, coach, this.state, card.inverted);
    }
    const lit = card.lit >= 0, edge = Math.max(2, 0.03 * box.height);
    let colour = ink;
    if (lit) {
      this.segment.put(box, card.inverted ? ink : this.state);
      this.frame.hide();
      colour = card.inverted ? this.groundColour : theme.on_state;
    } else {
      this.segment.hide();
      this.frame.put(box, !card.inverted && theme.name === "dark" ? this.state : ink, edge);
    }
    const pad = Math.min(0.18 * box.height, 0.7 * coach), inner = box.inset(pad, edge + 0.06 * box.height);
    this.tag.put(card.present, inner, coach, coach, colour);
    const left = this.tag.width ? this.tag.width + pad : 0;
    const room = new Box(inner.x + left, inner.y, inner.width - left, inner.height);
    this.doing.put(card.doing, room, boxes.doingCap, Math.min(this.glass.tier2Px, boxes.doingCap * 0.65), colour,
      { bold: true, lines: 2 });
    if (boxes.cue) this.cue.put(this.told, boxes.cue, boxes.cueCap, coach, ink, { lines: this.told === card.cue ? 2 : 3 });
    else this.cue.clear();
  }

  writeFoot() {
    const card = this.card, boxes = this.boxes, coach = boxes.labelCap;
    const sign = but(boxes.footLeft, { width: coach });
    let ahead = card.tight.length ? 2.5 * coach + measure(card.tight[0], coach, true) : 0;
    if (ahead && boxes.footRight.right >= sign.x + ahead) {
      this.warning.put("warning", sign, this.ink);
      this.tight.put(card.tight, but(sign, { x: sign.x + 1.5 * coach, width: ahead - 2.4 * coach }), coach, coach, this.ink,
        { bold: true });
    } else {
      this.warning.hide();
      this.tight.clear();
      ahead = 0;
    }
    this.footRight.put(ahead <= boxes.footLeft.width ? card.after : "", boxes.footRight, coach, coach, this.dim, { across: "right" });
    const right = Math.max(boxes.footLeft.right, boxes.footRight.right - this.footRight.width - coach);  // what those words leave
    const room = but(boxes.footLeft, { x: sign.x + ahead, width: Math.max(0, right - sign.x - ahead) });
    const short = card.foot[card.foot.length - 1];
    this.footLeft.put(!ahead || measure(short, coach) <= room.width ? card.foot : "", room, coach, coach, this.ink);
  }
}
