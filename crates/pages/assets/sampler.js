// Hands the microphone's samples to the page, some hundredths of a second at a time.
'use strict';
class Sampler extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(1024);
    this.at = 0;
  }

  process([input]) {
    for (const sample of input[0] || []) {
      this.block[this.at++] = sample;
      if (this.at < this.block.length) continue;
      this.port.postMessage(this.block.slice());
      this.at = 0;
    }
    return true;
  }
}
registerProcessor('sampler', Sampler);
