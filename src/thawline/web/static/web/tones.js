// One short tone a scan: rising, it was taken; low and twice, it was not. Unlike any hospital alarm.

const SECONDS = 0.09;
let sound = null;

/** Sound that a scan was taken. */
export const soundTaken = () => play([[660, 990, 0]]);

/** Sound that a scan was not taken. */
export const soundNotTaken = () => play([[220, 220, 0], [220, 220, 0.14]]);

function play(notes) {
  try {
    sound ??= new AudioContext();
    void sound.resume();
    for (const [from, to, later] of notes) note(from, to, sound.currentTime + later);
    document.documentElement.dataset.tone = notes.length === 1 ? "taken" : "not-taken";
  } catch {
    document.documentElement.dataset.tone = "none"; // a tablet without sound still shows the answer
  }
}

function note(from, to, at) {
  const [tone, level] = [sound.createOscillator(), sound.createGain()];
  tone.frequency.setValueAtTime(from, at);
  tone.frequency.linearRampToValueAtTime(to, at + SECONDS);
  level.gain.setValueAtTime(0.25, at);
  level.gain.linearRampToValueAtTime(0, at + SECONDS);
  tone.connect(level).connect(sound.destination);
  tone.start(at);
  tone.stop(at + SECONDS);
}
