// The link to the tablet: connection, clock, keys. The page uses the object `link` and knows nothing of this.
// ECMAScript 2017: Chrome 58, Firefox 54, Safari 11 (all 2017). What is sent and why: pacer/screens/__init__.py.

const link = (function () {
  // -- signatures: SHA-256 (FIPS 180-4) and HMAC (RFC 2104); browsers give crypto.subtle to https alone -------------

  const sha256 = (function () {
    // The first 32 bits of the fractions of the cube roots of the first 64 primes, and of the square roots of eight.
    const primes = [];
    for (let n = 2; primes.length < 64; n++) {
      if (primes.every((p) => n % p)) primes.push(n);
    }
    const bits = (x) => ((x - Math.floor(x)) * 4294967296) | 0;
    const K = primes.map((p) => bits(Math.cbrt(p)));
    const START = primes.slice(0, 8).map((p) => bits(Math.sqrt(p)));
    const turn = (x, n) => (x >>> n) | (x << (32 - n));

    return function (bytes) {
      const length = bytes.length;
      const data = new Uint8Array(((length + 72) >> 6) << 6);
      data.set(bytes);
      data[length] = 128;
      const view = new DataView(data.buffer);
      view.setUint32(data.length - 8, Math.floor(length / 536870912));
      view.setUint32(data.length - 4, length << 3);
      const hash = START.slice(), w = new Int32Array(64);
      for (let at = 0; at < data.length; at += 64) {
        for (let i = 0; i < 64; i++) {
          if (i < 16) {
            w[i] = view.getInt32(at + 4 * i);
            continue;
          }
          const s0 = turn(w[i - 15], 7) ^ turn(w[i - 15], 18) ^ (w[i - 15] >>> 3);
          const s1 = turn(w[i - 2], 17) ^ turn(w[i - 2], 19) ^ (w[i - 2] >>> 10);
          w[i] = w[i - 16] + s0 + w[i - 7] + s1;
        }
        let [a, b, c, d, e, f, g, h] = hash;
        for (let i = 0; i < 64; i++) {
          const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
          const t1 = (h + s1 + ((e & f) ^ (~e & g)) + K[i] + w[i]) | 0;
          const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
          const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
          h = g; g = f; f = e; e = (d + t1) | 0; d = c; c = b; b = a; a = (t1 + t2) | 0;
        }
        [a, b, c, d, e, f, g, h].forEach((x, i) => { hash[i] = (hash[i] + x) | 0; });
      }
      const out = new Uint8Array(32), told = new DataView(out.buffer);
      hash.forEach((x, i) => told.setInt32(4 * i, x));
      return out;
    };
  })();

  const hexOf = (bytes) => Array.from(bytes, (b) => (b + 256).toString(16).slice(1)).join("");
  const bytesOfHex = (hex) => Uint8Array.from(hex.match(/../g) || [], (pair) => parseInt(pair, 16));
  const bytesOfText = (text) => Uint8Array.from(unescape(encodeURIComponent(text)), (c) => c.charCodeAt(0));

  function hmacSha256(key, bytes) {
    const block = new Uint8Array(64);
    block.set(key.length > 64 ? sha256(key) : key);
    const hashed = (pad, rest) => {
      const all = new Uint8Array(64 + rest.length);
      all.set(block.map((b) => b ^ pad));
      all.set(rest, 64);
      return sha256(all);
    };
    return hashed(0x5c, hashed(0x36, bytes));
  }

  const macOf = (key, text) => hexOf(hmacSha256(bytesOfHex(key), bytesOfText(text)));

  // -- the clock: RFC 5905, section 8; the bound as ETSI TS 103 286-2 reckons it --------------------------------------

  const KEPT = 8; // exchanges of which the one with the least delay counts
  const DRIFT = 100e-6; // both crystals together, at most
  const RATE_SPAN_MS = 120000; // over such a span half of the measured rate is believed
  const RATE_POINTS = 24;
  const STEP_MS = 1000; // farther ahead than this it is set, not slewed: the device has slept

  function exchanged(t1, t2, t3, t4) {
    return { theta: (t2 - t1 + (t3 - t4)) / 2, delta: Math.max(0, t4 - t1 - (t3 - t2)), at: t4 };
  }

  class SlewedClock {
    // The tablet's clock, told by this device's own. `precision`: the smallest step of that one.
    constructor(precision) {
      this.precision = precision || 0;
      this.reset();
    }

    reset() {
      this.samples = [];
      this.points = [];
      this.best = null;
      this.rate = 0;
      this.offset = null; // what is shown is ahead of our own clock by
      this.at = 0; // and when that was last reckoned
      this.taken = 0;
    }

    // The device has slept, or its clock jumped: what was measured before says nothing any more.
    doubt() {
      const { offset, at } = this;
      this.reset();
      this.offset = offset;
      this.at = at;
    }

    take(t1, t2, t3, t4) {
      this.samples.push(exchanged(t1, t2, t3, t4));
      if (this.samples.length > KEPT) this.samples.shift();
      const off = (one) => one.delta / 2 + DRIFT * (t4 - one.at);
      this.best = this.samples.reduce((a, b) => (off(b) <= off(a) ? b : a));
      this.taken++;
      if (this.taken % KEPT === 0) this.point(this.best);
      if (this.offset === null) {
        this.offset = this.target(t4);
        this.at = t4;
      }
    }

    // A least-squares line through the best of each eight; the shorter it is, the less it is believed.
    point(best) {
      this.points.push(best);
      if (this.points.length > RATE_POINTS) this.points.shift();
      const n = this.points.length, span = best.at - this.points[0].at;
      if (n < 4) return;
      const mean = (f) => this.points.reduce((sum, one) => sum + f(one), 0) / n;
      const x = mean((one) => one.at), y = mean((one) => one.theta);
      const slope = mean((one) => (one.at - x) * (one.theta - y)) / mean((one) => (one.at - x) * (one.at - x));
      this.rate = Math.max(-5 * DRIFT, Math.min(5 * DRIFT, (slope * span) / (span + RATE_SPAN_MS)));
    }

    target(t) {
      return this.best.theta + this.rate * (t - this.best.at);
    }

    // The tablet's clock at `t` of ours. It never runs backwards: what it is ahead is slewed off.
    read(t) {
      if (this.offset === null) return null;
      const since = Math.max(0, t - this.at);
      if (this.best) {
        const wrong = this.target(t) - this.offset;
        const most = since * (Math.abs(wrong) > 200 ? 0.5 : 0.05);
        this.offset += wrong > STEP_MS ? wrong : Math.max(-most, Math.min(most, wrong));
      }
      this.at = Math.max(this.at, t);
      return this.at + this.offset;
    }

    // How far that may be off at most.
    bound(t) {
      if (!this.best) return Infinity;
      const wrong = Math.abs(this.target(t) - this.offset);
      return this.best.delta / 2 + DRIFT * Math.max(0, t - this.best.at) + wrong + this.precision;
    }
  }

  // -- the connection ----------------------------------------------------------------------------------------

  const PROTOCOL = 1;
  const ALONE_MS = 4000; // without a word from the tablet for so long, we are alone
  const GIVE_UP_MS = 8000; // and try another connection
  const TRY_STOP_MS = 4000; // so long STOP ALL is tried
  const RESYNC_MS = 2000;
  const KEEP = "pacer screen";

  const local = () => performance.now();
  const apartNow = () => Date.now() - local();
  const clock = new SlewedClock(precision());
  const me = {
    state: "connecting", why: "", waitMs: 0, number: 0, role: "shows", lanes: [], title: "", picked: null,
    begun: false, ended: false, stopped: false, aloneSince: null, cards: [], keyed: false, host: location.host, walls: [],
    onCards() {}, onState() {}, onNumber() {}, onAnswer() {},
  };
  let saved = read();
  let scanned = taken(); // the key of a QR code that was just scanned
  let code = "", usedUp = false;
  let socket = null, hello = null, zero = null, boot = null, version = -1, made = 0;
  let heard = null, tries = 0, retry = 0, apart = apartNow();

  function precision() {
    let least = Infinity;
    for (let i = 0, before = performance.now(); i < 2000 && performance.now() - before < 20; i++) {
      const step = performance.now() - performance.now();
      if (step) least = Math.min(least, -step);
    }
    return least === Infinity ? 1 : Math.min(least, 100);
  }

  function read() {
    let found = null;
    try { found = JSON.parse(localStorage.getItem(KEEP)); } catch (e) { /* no storage: this page alone remembers */ }
    if (!found || !/^[0-9a-f]{16}$/.test(found.device)) found = { device: random(8) };
    found.pending = found.pending || [];
    found.n = found.n || 0;
    found.host = location.host; // this page came from there just now
    return found;
  }

  function keep() {
    try { localStorage.setItem(KEEP, JSON.stringify(saved)); } catch (e) { /* as above */ }
  }

  function random(count) {
    return hexOf(crypto.getRandomValues(new Uint8Array(count)));
  }

  function taken() {
    const found = /^#([0-9a-f]{32})$/.exec(location.hash);
    if (!found) return "";
    history.replaceState(null, "", location.pathname); // not to be read over a shoulder, nor kept in a history
    return found[1];
  }

  function change(values) {
    Object.assign(me, values);
    me.onState();
  }

  // -- joining -------------------------------------------------------------------------------------------------------

  function connect() {
    clearTimeout(retry);
    if (socket) drop();
    const hosts = Array.from(new Set([saved.host, location.host].concat(saved.hosts || [])));
    me.host = hosts[tries % hosts.length]; // the tablet's address may have changed: it has told us its others
    try { socket = new WebSocket("ws://" + me.host + "/link"); } catch (e) { return again(); /* no address */ }
    const mine = socket;
    hello = null;
    const since = local();
    setTimeout(() => { if (mine === socket && !hello && local() - since > 4000) again(); }, 5000);
    mine.onmessage = (event) => { if (mine === socket) hear(JSON.parse(event.data)); };
    mine.onclose = () => { if (mine === socket) again(); };
  }

  function drop() {
    const old = socket;
    socket = null;
    old.onclose = old.onmessage = null;
    old.close();
  }

  function again(inMs) {
    if (socket) drop();
    hello = null;
    if (me.state === "away" || me.state === "code" || me.why === "shut") return;
    clearTimeout(retry);
    const wait = Math.min(8000, 300 * Math.pow(1.6, tries++)) * (0.8 + 0.4 * Math.random());
    retry = setTimeout(connect, inMs || wait);
  }

  function send(message) {
    if (socket && socket.readyState === 1) socket.send(JSON.stringify(message));
  }

  function join() {
    const asked = { type: "join", v: PROTOCOL, device: saved.device, session: hello.session };
    const key = !usedUp && scanned ? scanned : code ? "" : saved.key;
    if (key) asked.mac = macOf(key, ["join", hello.session, saved.device, hello.nonce].join(" "));
    else if (code) asked.code = code;
    else if (saved.token) asked.token = saved.token;
    else return ask(usedUp ? "used" : "", 0);
    send(asked);
  }

  function ask(why, waitMs) {
    change({ state: "code", why, waitMs });
    if (socket) drop();
  }

  function refused(told) {
    const ours = saved.session === hello.session, typed = code, answers = code || usedUp || told.why === "shut";
    code = "";
    if (told.why === "version") return location.reload();
    if (told.why === "session") return again(300);
    if (told.why === "away") {
      change({ state: "away", why: "away" });
      return drop();
    }
    if (told.why === "full") {
      change({ state: "refused", why: "full", waitMs: 10000 });
      return again(10000);
    }
    if (told.why === "used" && scanned && !usedUp) {
      usedUp = true; // another device was faster with it: what we had before still serves
      return again(100);
    }
    if (told.why === "used" && (ours || typed)) { // this device's name has a key that it lost: it takes another
      delete saved.key;
      saved.device = random(8);
    }
    if (ours && told.why !== "shut") delete saved.token;
    keep();
    ask(answers ? told.why : "", told.wait_ms);
    if (told.why === "shut") change({ state: "refused" });
    if (told.wait_ms) setTimeout(() => { if (me.state === "refused") change({ state: "code" }); }, told.wait_ms);
  }

  function joined(told) {
    if (saved.session !== hello.session) { // another session takes its screens over
      Object.assign(saved, { session: hello.session, pending: [], n: 0, at: null });
      me.cards = [];
    }
    if (scanned && !usedUp) saved.key = scanned;
    else if (told.token) delete saved.key;
    scanned = code = "";
    usedUp = false;
    if (told.token) saved.token = told.token;
    saved.n = Math.max(saved.n, told.acts);
    Object.assign(saved, { host: me.host, hosts: told.hosts });
    if (saved.wall === undefined && told.lane !== null) Object.assign(saved, { wall: String(told.lanes[told.lane]), view: told.view });
    saved.lane = told.lanes.map(String).indexOf(saved.wall); // the number on the wall: another squad may have other lanes
    keep();
    if (boot !== told.boot) clock.reset();
    boot = told.boot;
    tries = 0;
    version = -1;
    const known = saved.lane >= 0;
    change({
      state: "joined", why: "", number: told.number, role: told.role, lanes: told.lanes, title: told.title,
      picked: known ? { lane: saved.lane, view: saved.view } : null, keyed: told.keyed,
    });
    if (known) sendPick();
    made = 0;
    exchange();
    saved.pending.slice().forEach(submit);
  }

  function sendPick() {
    send({ type: "pick", lane: saved.lane, view: saved.view, at_ms: saved.at });
  }

  // -- what is heard -------------------------------------------------------------------------------------------------

  function hear(told) {
    const now = local();
    heard = now;
    if (me.aloneSince !== null) change({ aloneSince: null });
    switch (told.type) {
      case "hello":
        hello = told;
        join();
        break;
      case "refused": refused(told); break;
      case "joined": joined(told); break;
      case "time": clock.take(told.t1_ms, told.t2_ms, told.t3_ms, now); break;
      case "state":
        zero = told.zero_ms;
        change({ begun: told.begun, ended: told.ended, stopped: told.stopped });
        break;
      case "cards": cards(told); break;
      case "walls": me.walls = told.walls; break;
      case "role": change({ role: told.role }); break;
      case "hosts":
        saved.hosts = told.hosts;
        keep();
        break;
      case "show number": me.onNumber(told.for_ms); break;
      case "away":
        change({ state: "away", why: "away" });
        drop();
        break;
      case "answer": answered(told.n, told.done, told.says); break;
    }
  }

  function cards(told) {
    const here = me.picked;
    if (!here || here.view !== told.view || (told.view === "lane" && here.lane !== told.lane)) return;
    if (told.version < version) return;
    let list = me.cards;
    if (told.version > version) list = list.filter((card) => card.at_ms < told.from_ms);
    version = told.version;
    me.cards = list.concat(unpacked(told.cards));
    me.onCards(me.cards);
  }

  function exchange() {
    const bound = clock.best ? clock.bound(local()) : null;
    send({ type: "time", t1_ms: local(), bound_ms: bound === null || !isFinite(bound) ? null : Math.ceil(bound) });
    made++;
  }

  // -- acts ----------------------------------------------------------------------------------------------------------

  function submit(one) {
    if (one.kind === "stop all" && Math.abs(Date.now() - one.wall) > TRY_STOP_MS) {
      return answered(one.n, false, null); // never sent
    }
    const text = ["act", saved.session, saved.device, one.body].join(" ");
    return send({ type: "act", body: one.body, mac: macOf(saved.key, text) });
  }

  function answered(n, done, says) {
    saved.pending = saved.pending.filter((one) => one.n !== n);
    keep();
    me.onAnswer(n, done, says);
  }

  me.act = function (kind, data) {
    const at = me.now();
    if (at === null || !saved.key || me.role !== "helps") return 0;
    const n = ++saved.n;
    const act = { n, kind, at_ms: Math.round(at), bound_ms: Math.ceil(Math.min(me.bound(), 1e9)) };
    const one = { n, kind, wall: Date.now(), body: JSON.stringify(Object.assign(act, data)) };
    saved.pending.push(one);
    keep();
    submit(one);
    if (kind === "stop all") setTimeout(() => { if (saved.pending.indexOf(one) >= 0) submit(one); }, TRY_STOP_MS + 50);
    return n;
  };

  // -- for the page --------------------------------------------------------------------------------------------------

  me.join = function (typed) {
    code = typed;
    Object.assign(me, { state: "connecting", why: "" });
    tries = 0;
    connect();
  };
  me.pick = function (lane, view) {
    const at = me.now();
    Object.assign(saved, { lane, view, wall: String(me.lanes[lane]), at: at === null ? null : Math.round(at) });
    keep();
    version = -1;
    me.cards = [];
    change({ picked: { lane, view } });
    sendPick();
  };
  me.find = function (address) {
    saved.host = address.indexOf(":") < 0 ? address + ":" + location.port : address;
    tries = 0;
    connect();
  };
  me.now = function () {
    const at = zero === null ? null : clock.read(local());
    return at === null ? null : at - zero;
  };
  me.bound = function () {
    return me.now() === null ? null : clock.bound(local());
  };
  me.clock = clock;

  // -- always --------------------------------------------------------------------------------------------------------

  function tick() {
    const now = local(), jumped = apartNow();
    if (Math.abs(jumped - apart) > 250) clock.doubt(); // the device has slept, or its time of day was set
    apart = jumped;
    if (me.state !== "joined") return;
    if (me.aloneSince === null && now - heard > ALONE_MS) {
      const at = me.now();
      change({ aloneSince: at === null ? 0 : at - (now - heard) });
    }
    if (hello && now - heard > GIVE_UP_MS) again();
  }

  setInterval(tick, 500);
  (function resync() {
    if (me.state === "joined" && hello) exchange();
    setTimeout(resync, made < KEPT ? 150 : RESYNC_MS);
  })();
  addEventListener("online", () => { tries = 0; if (!hello && me.state !== "code") connect(); });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && me.state === "joined") (hello ? exchange : connect)();
  });
  setTimeout(connect, 0); // after the page has said what it wants to hear
  me.parts = { sha256, hexOf, bytesOfHex, hmacSha256, macOf, exchanged, SlewedClock }; // for the tests
  return me;
})();
