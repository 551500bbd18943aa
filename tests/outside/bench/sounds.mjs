// Plucks that are made up, of known pitch and stiffness.
export const RATE = 48_000;
// The low E, some cents sharp, as stiff as the set of the example makes it, or nearly.
export const E2 = { note: 82.407 * 2 ** (3 / 1200), b: 1.2e-4 };

// A pluck of a stiff string: partials where the formula has them, higher ones softer and sooner gone, over a little noise. Silence stands before it.
export function pluck({ note, b }, silence = 0.8, rings = 4.8) {
  const count = Math.round((silence + rings) * RATE);
  const begins = Math.round(silence * RATE);
  const samples = new Float64Array(count);
  let seed = 12345;
  const noise = () => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed / 1073741824 - 1; };
  for (let n = 1; n <= 34; n++) {
    const turn = 2 * Math.PI * n * note * Math.sqrt(1 + b * n * n) / RATE;
    const fall = (0.35 + 0.05 * n) / RATE;
    const loud = Math.abs(Math.sin(Math.PI * n * 0.17)) / n ** 1.1 + 0.004;
    for (let i = begins; i < count; i++) samples[i] += loud * Math.exp(-fall * (i - begins)) * Math.sin(turn * (i - begins) + n * n);
  }
  const most = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  return samples.map((sample) => 0.5 * sample / most + 2e-4 * noise());
}

export function wav(samples) {
  const bytes = Buffer.alloc(44 + 2 * samples.length);
  bytes.write('RIFF'); bytes.writeUInt32LE(36 + 2 * samples.length, 4); bytes.write('WAVEfmt ', 8);
  bytes.writeUInt32LE(16, 16); bytes.writeUInt16LE(1, 20); bytes.writeUInt16LE(1, 22);
  bytes.writeUInt32LE(RATE, 24); bytes.writeUInt32LE(2 * RATE, 28); bytes.writeUInt16LE(2, 32); bytes.writeUInt16LE(16, 34);
  bytes.write('data', 36); bytes.writeUInt32LE(2 * samples.length, 40);
  samples.forEach((sample, i) => bytes.writeInt16LE(Math.round(32767 * sample), 44 + 2 * i));
  return bytes;
}
