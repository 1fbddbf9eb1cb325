// What is in front: a page, or the view at this instant; drawn once a frame, and only what has changed.

const FLASH = TABLET.flash;

const screen_ = {
  parts: {}, theme: kept.get("theme") || "dark", pxPerMm: kept.get("px per mm"), view: null, key: "", stopped: null, old: false
};

// -- the view -------------------------------------------------------------------------------------------------------

function glassNow() { return new Glass(screen_.pxPerMm || 96 / 25.4); }

function hasCards(name) {
  const parts = screen_.parts;
  return Boolean(parts.pool) && (name === "lane" ? Boolean(parts.lane) : link.lanes.every((_, lane) => parts["band " + lane]));
}

// The view called `name` on a glass of this size, made anew where that has changed.
function viewFor(name, width, height) {
  const key = String([name, width, height, screen_.theme, screen_.pxPerMm, link.lanes]);
  if (key === screen_.key) return screen_.view;
  const root = by("view"), theme = TABLET.themes[screen_.theme], glass = glassNow(), box = new Box(0, 0, width, height);
  root.textContent = "";
  root.style.height = height + "px";
  const canvas = new Canvas(root, height);
  screen_.key = key;
  screen_.view = name === "stopped" ? new StopView(canvas, box, theme) : name === "lane" ? new LaneView(canvas, box, glass, theme)
    : name === "dial" ? new DialView(canvas, box, glass, theme, link.lanes.length)
      : new PoolView(canvas, box, glass, theme, link.lanes.length, link.lanes);
  return screen_.view;
}

// Everything stopped fills the screen; the pace clock can be read on it.
class StopView {
  constructor(canvas, box, theme) {
    Object.assign(this, { canvas, box, theme });
    this.ground = new Plate(canvas);
    this.title = new Words(canvas, "stopped");
    this.clock = new Digits(canvas, "clock");
    this.whose = new Words(canvas, "whose clock");
  }
  show(parts, atMs) {
    const pool = inForce(parts.pool, atMs), box = this.box, ink = this.theme.on_state, flat = box.width >= box.height;
    this.ground.put(box, TABLET.stopGround);
    const centred = { bold: true, across: "middle", lines: flat ? 1 : 2 };
    this.title.put(pool.stopped, box.row(0.48, 0.96).inset(0.05 * box.width, 0), 0.4 * box.height, 1, ink, centred);
    this.clock.lay(box.row(0.14, 0.46).inset(0.05 * box.width, 0), 0.3 * box.height, ink, "middle");
    this.clock.show(clockReading(atMs, pool.phase_ms));
    this.whose.put(pool.whose, box.row(0.02, 0.13), 0.05 * box.height, 1, ink, { bold: true, across: "middle" });
  }
}

// Draw the view as it is at `atMs`.
function drawAt(atMs) {
  const pool = screen_.parts.pool ? inForce(screen_.parts.pool, atMs) : null, stopped = Boolean(pool && pool.stopped);
  if (stopped && screen_.stopped === false) sound.stopAll();
  screen_.stopped = stopped;
  const aloneMs = link.ended ? 0 : aloneFor(atMs);  // what is over changes no more
  const strip = stripFor(aloneMs), bar = helperBar();
  const width = window.innerWidth, height = Math.max(1, window.innerHeight - strip - bar);
  viewFor(stopped ? "stopped" : link.picked.view, width, height).show(screen_.parts, atMs, aloneMs >= OLD_MS);
}

// The flash at what is counted down to, for who cannot hear it: never more than three in a second (WCAG 2.2, 2.3.1).
const flash = {
  seen: Infinity, began: -1e9, shown: false,
  at(now, instants) {
    const after = Math.max(this.seen, now - FLASH.late);
    if (now - this.began >= FLASH.apart && instants.some(at => at > after && at <= now)) this.began = now;
    this.seen = now;
    const lit = now >= this.began && now - this.began < FLASH.lit;
    if (lit === this.shown) return;
    this.shown = lit;
    const colour = TABLET.themes[screen_.theme].flip;
    Object.assign(by("lit").style, { display: lit ? "block" : "none", background: colour + "73",
      boxShadow: "inset 0 0 0 " + glassNow().px(FLASH.mm) + "px " + colour });
  }
};

// -- each frame -------------------------------------------------------------------------------------------------------------

function front() {
  const why = link.why && word(link.why in TABLET.page ? link.why : "no");
  if (link.state === "code") return ["code" + why, () => codePage(code => link.join(code)).concat(why ? [made("p", why)] : [])];
  if (link.state === "refused" || link.state === "away") {
    const wait = link.waitMs ? " " + word("wait", { time: countUp(Math.ceil(link.waitMs / 1000)) }) : "";
    return [link.state + why + wait, () => [made("h1", why + wait)]];
  }
  if (screen_.asks === "address") return ["address", () => addressPage(link.host, address => { screen_.asks = ""; link.find(address); })];
  if (!link.lanes || !link.lanes.length) {
    return ["looking", () => [made("h1", word("looking")), made("p", word("network")),
      keysOf([{ text: word("other"), press: () => { screen_.asks = "address"; } }])]];
  }
  if (!link.picked || screen_.asks === "lane") {
    return ["lane", () => lanePage(link.lanes, link.picked, (lane, view) => { screen_.asks = ""; link.pick(lane, view); wake(); }, link.title || "")];
  }
  if (!screen_.pxPerMm || screen_.asks === "width") {
    return ["width", () => widthPage(pxPerMm => { setWidth(pxPerMm); screen_.asks = "readable"; wake(); })];
  }
  if (screen_.asks === "readable") {
    const hero = 0.32 * Math.min(window.innerHeight, window.innerWidth * 0.9);
    return ["readable", () => [].concat(readableFrom(Math.max(1, Math.floor(glassNow().readAtM(hero))), () => { screen_.asks = ""; }))];
  }
  if (!hasCards(link.picked.view)) return ["waiting", () => [made("h1", word("waiting"))]];
  return ["", null];
}

function frame() {
  const [name, make] = front();
  page.show(name, make);
  const now = link.now();
  if (!name) drawAt(now === null ? 0 : Math.floor(now));
  if (now !== null) flash.at(now, name || aloneFor(now) >= OLD_MS ? [] : sound.beeps);
  requestAnimationFrame(frame);
}

// Send-offs that may have changed are not promised aloud either.
function beep() {
  const now = link.now();
  if (link.ended || aloneFor(now) >= OLD_MS) sound.silence(); else sound.update(now);
}

function showNumber(forMs) {
  const node = made("div", String(link.number), "number");
  document.body.appendChild(node);
  setTimeout(() => node.remove(), forMs || 5000);
}

function begin() {
  setTheme(screen_.theme);
  measureKeys();
  link.onCards = list => {
    screen_.parts = partsOf(list);
    sound.plan((screen_.parts.beep || []).map(card => card.at_ms));
  };
  link.onState = () => { page.shown = ["lane", "width", "address"].indexOf(page.shown) >= 0 ? page.shown : "?"; };
  link.onNumber = showNumber;
  link.onAnswer = (n, done, says) => say(says === null ? word("shout") : says || word(done ? "saved" : "lost"));
  if (link.cards) link.onCards(link.cards);
  by("view").addEventListener("click", () => { wake(); options(!by("options").className); });
  by("page").addEventListener("click", wake);
  window.addEventListener("resize", () => { measureKeys(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden && sound.context) screenLock.ask(); });
  setInterval(beep, 250);
  const fonts = document.fonts ? Promise.all(["400 20px pacer", "700 20px pacer"].map(font => document.fonts.load(font))) : Promise.resolve();
  const start = () => requestAnimationFrame(frame);
  fonts.then(start, start);
}

if (typeof link !== "undefined") begin();
