// Beeps, handed to the browser's audio clock ahead of their instants. They need a first touch: browsers ask for it.

const BEEP = TABLET.beep;
const AHEAD_MS = 6000;  // so much is handed over: a page in the background is woken once a second

const sound = {
  context: null, on: true, handed: {}, beeps: [],

  get can() { return Boolean(window.AudioContext || window.webkitAudioContext); },

  // Called in the first touch.
  open() {
    if (!this.context && this.can) this.context = new (window.AudioContext || window.webkitAudioContext)();
    if (this.context && this.context.state !== "running") this.context.resume();
  },

  get ready() { return Boolean(this.context) && this.context.state === "running"; },

  // The instants that are counted down to. What was handed over and is no longer wanted is taken back.
  plan(instants) {
    this.beeps = instants;
    const wanted = new Set(instants.map(String));
    Object.keys(this.handed).forEach(key => {
      if (!wanted.has(key.split(" ")[0])) this.take(key);
    });
  },

  take(key) {
    const tone = this.handed[key];
    delete this.handed[key];
    if (tone) {
      try { tone.stop(0); } catch (error) { /* it is over */ }
    }
  },

  // Hand over what is due soon. Whatever is missed of a count-down, its long beep stays where it belongs.
  update(nowMs) {
    if (!this.ready || !this.on || nowMs === null) return;
    const started = this.context.currentTime - (this.context.outputLatency || this.context.baseLatency || 0);
    const drift = nowMs - this.zero - started * 1000;
    if (this.zero === undefined || Math.abs(drift) > 15) {  // the clock was put right: beeps follow it
      if (this.zero !== undefined) Object.keys(this.handed).forEach(key => this.take(key));
      this.zero = nowMs - started * 1000;
    }
    this.beeps.forEach(atMs => {
      if (atMs < nowMs - 1000 || atMs > nowMs + AHEAD_MS + BEEP.shorts * BEEP.apart) return;
      for (let place = BEEP.shorts; place >= 0; place--) {
        const at = atMs - place * BEEP.apart, key = atMs + " " + place;
        if (key in this.handed || at < nowMs + 30 || at > nowMs + AHEAD_MS) continue;
        this.handed[key] = this.tone((at - this.zero) / 1000, place ? BEEP.short : BEEP.long);
      }
    });
    Object.keys(this.handed).forEach(key => {
      if (Number(key.split(" ")[0]) < nowMs - 5000) delete this.handed[key];
    });
  },

  tone(start, { hertz, ms }) {
    const context = this.context, tone = context.createOscillator(), loud = context.createGain(), end = start + ms / 1000;
    tone.frequency.value = hertz;
    loud.gain.setValueAtTime(0, start);
    loud.gain.linearRampToValueAtTime(BEEP.peak, start + BEEP.rise / 1000);
    loud.gain.setValueAtTime(BEEP.peak, end - BEEP.fall / 1000);
    loud.gain.linearRampToValueAtTime(0, end);
    tone.connect(loud);
    loud.connect(context.destination);
    tone.start(start);
    tone.stop(end);
    return tone;
  },

  // Everything was stopped: at once, also when beeps are off.
  stopAll() {
    if (!this.ready) return;
    Object.keys(this.handed).forEach(key => this.take(key));
    const now = this.context.currentTime + 0.02;
    BEEP.stop.forEach(([at, hertz]) => this.tone(now + at / 1000, { hertz, ms: BEEP.stopMs }));
  },

  silence() { Object.keys(this.handed).forEach(key => this.take(key)); }
};
