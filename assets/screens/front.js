// What is in front: a page, or the view at this instant; drawn once a frame, and only what has changed.

const OLD_MS = 60000;  // alone for so long, send-offs are promised no more
const NOTICED_MS = 3000;  // a shorter silence is none
const FLASH = TABLET.flash, FLASH_MM = 3;
const OPTIONS_MS = 8000;  // the keys go away by themselves

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
  const aloneMs = link.aloneSince === null || link.ended ? 0 : atMs - link.aloneSince;  // what is over changes no more
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
      boxShadow: "inset 0 0 0 " + glassNow().px(FLASH_MM) + "px " + colour });
  }
};

// The strip that says since when the screen is alone: quietly, until send-offs are promised no more; its height.
function stripFor(aloneMs) {
  const node = by("strip");
  if (aloneMs < NOTICED_MS) {
    node.style.display = "none";
    return 0;
  }
  const unit = glassNow().unitPx(window.innerWidth, window.innerHeight);
  const old = aloneMs >= OLD_MS, time = countUp(Math.floor(aloneMs / 1000));
  const ways = [word(old ? "old" : "going", { time }), word("alone", { time })];
  const fitted = fit(old ? ways.slice(0, 1) : ways, window.innerWidth * 0.96, linesHeight(2, unit), unit, unit, old, 2);
  const text = fitted.lines.join("\n"), size = fontSize(fitted.cap), line = Math.ceil(PITCH * fitted.cap);
  const high = line * fitted.lines.length + Math.ceil(0.3 * unit);
  if (node.textContent !== text) node.textContent = text;
  node.className = old ? "old" : "";
  Object.assign(node.style, { display: "block", height: high + "px", lineHeight: line + "px", fontSize: size + "px",
    paddingTop: Math.round(0.15 * unit) + "px", bottom: by("bar").offsetHeight + "px" });
  return high;
}

// -- keys of a helper ---------------------------------------------------------------------------------------------------

const helper = { marks: [], said: "", saidUntil: 0, timer: 0, built: false };

function say(text, forMs = 5000) {
  helper.said = text;
  helper.saidUntil = Date.now() + forMs;
}

// The bar of a device that may help; its height.
function helperBar() {
  const node = by("bar"), shown = link.role === "helps" && link.begun && !link.ended;
  if (!shown) {
    if (helper.built) { node.textContent = ""; node.className = ""; helper.built = false; }
    return 0;
  }
  if (!helper.built) {
    helper.built = true;
    node.className = "shown";
    node.appendChild(made("div", "", "said"));
    node.appendChild(onDown(made("button", word("touch"), "main"), takeTouch));
    node.appendChild(onDown(made("button", word("rate"), "rate"), takeStroke));
    node.appendChild(stopKey());
  }
  const said = Date.now() < helper.saidUntil ? helper.said : word("here", { number: link.lanes[link.picked.lane] });
  const line = node.firstChild;
  if (line.textContent !== said) line.textContent = said;
  return node.offsetHeight;
}

// A press counts when the finger comes down.
function onDown(node, press) {
  let touched = 0;
  node.addEventListener("touchstart", event => { touched = Date.now(); event.preventDefault(); wake(); press(); }, { passive: false });
  node.addEventListener("mousedown", () => { if (Date.now() - touched > 1000) press(); });
  return node;
}

function act(kind, data) {
  if (link.now() === null) return;
  link.act(kind, data);
  say(word("sending"), 15000);
}

function takeTouch() {
  if (navigator.vibrate) navigator.vibrate(30);
  act("touch", { lane: link.picked.lane });
}

// A press at each stroke cycle; sent three seconds after the last.
function takeStroke() {
  const now = link.now(), marks = helper.marks;
  if (now === null || marks.length && now - marks[marks.length - 1] < TABLET.bounceMs) return;
  if (!marks.length) helper.lane = link.picked.lane;
  marks.push(Math.round(now));
  clearTimeout(helper.timer);
  helper.timer = setTimeout(sendStrokes, TABLET.lastStrokeMs);
  const cycles = marks.length - 1;
  say(cycles ? word("cycles", { rate: Math.round(60000 * cycles / (marks[cycles] - marks[0])) }) : word("hand"), TABLET.lastStrokeMs);
}

function sendStrokes() {
  const marks = helper.marks;
  helper.marks = [];
  if (marks.length < 3) say(word("few"));
  else act("rate", { lane: helper.lane, marks_ms: marks, at_ms: marks[marks.length - 1], cycles: 1 });
}

// STOP ALL wants as long a press as on the tablet.
function stopKey() {
  const node = made("button", word("stop"), "stop");
  node.appendChild(made("i"));
  let timer = 0;
  const begin = event => {
    event.preventDefault();
    if (timer) return;
    node.classList.add("pressed");
    timer = setTimeout(() => { leave(); act("stop all", {}); }, TABLET.stopMs);
  };
  const leave = event => {
    if (event && event.targetTouches && event.targetTouches.length) return;  // a drop, or another finger: one still presses
    clearTimeout(timer);
    timer = 0;
    node.classList.remove("pressed");
  };
  node.addEventListener("touchstart", begin, { passive: false });
  ["touchend", "touchcancel", "mouseup", "mouseleave"].forEach(name => node.addEventListener(name, leave));
  node.addEventListener("mousedown", begin);
  return node;
}

// -- keys of the screen -------------------------------------------------------------------------------------------------

function options(shown) {
  const node = by("options");
  node.textContent = "";
  node.className = shown ? "shown" : "";
  clearTimeout(screen_.timer);
  if (!shown) return;
  screen_.timer = setTimeout(() => options(false), OPTIONS_MS);
  const again = change => () => { change(); options(true); };
  const keys = [
    { text: word("change"), press: () => { options(false); screen_.asks = "lane"; } },
    { text: word(screen_.theme === "dark" ? "bright" : "dark"), press: again(() => setTheme(screen_.theme === "dark" ? "bright" : "dark")) },
    { text: word(sound.on ? "beeps" : "quiet"), off: !sound.can, press: again(() => { sound.on = !sound.on; if (!sound.on) sound.silence(); }) },
    { text: word("size"), press: () => { options(false); screen_.asks = "width"; } }
  ];
  if (link.aloneSince !== null) keys.push({ text: word("again"), press: () => { options(false); screen_.asks = "address"; } });
  const whole = document.documentElement, ask = whole.requestFullscreen || whole.webkitRequestFullscreen;
  const leave = document.exitFullscreen || document.webkitExitFullscreen;
  const filled_ = document.fullscreenElement || document.webkitFullscreenElement;
  if (ask) keys.splice(1, 0, { text: word(filled_ ? "leave" : "fill"), press: () => { options(false); (filled_ ? leave : ask).call(filled_ ? document : whole); } });
  keys.forEach(key => {
    const button = node.appendChild(made("button", key.text, "", key.press));
    button.style.setProperty("--wide", "26%");
    button.disabled = Boolean(key.off);
  });
  node.appendChild(made("div", word("screen", { number: link.number }) + " " + staysOn(), "said"));
}

function setTheme(name) {
  screen_.theme = name;
  kept.set("theme", name);
  const theme = TABLET.themes[name], style = document.documentElement.style;
  ["ground", "deck", "water", "ink", "dim", "line"].forEach(key => style.setProperty("--" + key, theme[key]));
  Object.keys(TABLET.states).forEach(key => style.setProperty("--state-" + key, TABLET.states[key]));
  style.setProperty("--stop-ground", TABLET.stopGround);
  style.setProperty("--stop-time", TABLET.stopMs + "ms");
  document.querySelector("meta[name=theme-color]").content = theme.ground;
}

function setWidth(pxPerMm) {
  screen_.pxPerMm = pxPerMm;
  kept.set("px per mm", pxPerMm);
  measureKeys();
}

// Keys are as large as wet fingers need them, and not larger than the glass has room for.
function measureKeys() {
  const least = Math.min(window.innerWidth / 60, window.innerHeight / 90);
  const mm = Math.min(screen_.pxPerMm || 96 / 25.4, Math.max(least, 3)), style = document.documentElement.style;
  style.setProperty("--mm", mm + "px");
  style.setProperty("--key", Math.min(15 * mm, window.innerHeight * 0.115) + "px");
  style.setProperty("--figure", Math.min(14 * mm, window.innerHeight * 0.1, window.innerWidth * 0.15) + "px");
}

function wake() {
  sound.open();
  screenLock.ask();
}

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

const aloneFor = now => link.aloneSince === null ? 0 : now - link.aloneSince;

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
