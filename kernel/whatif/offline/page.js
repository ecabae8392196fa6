// Starts the page: the panel at once, with the sheet's own state, and the program that
// answers its sliders behind it. The settings stand in the address behind #, so that the
// page opens again as it was left.
const railbook = globalThis.railbook = {}; // the program puts its functions in here

(() => {
  'use strict';
  const text = id => document.getElementById(id).textContent;
  const description = JSON.parse(text('panel'));

  // bytes decodes base64.
  function bytes(packed) {
    if (Uint8Array.fromBase64) return Uint8Array.fromBase64(packed);
    const binary = atob(packed);
    const list = new Uint8Array(binary.length);
    for (let i = 0; i < list.length; i++) list[i] = binary.charCodeAt(i);
    return list;
  }

  let ended = false;
  async function start() {
    if (document.readyState === 'loading') await new Promise(done => document.addEventListener('DOMContentLoaded', done));
    if (!globalThis.DecompressionStream || !globalThis.WebAssembly) throw new Error('this browser is too old for the sliders; one of 2023 or newer will do');
    const wasm = new Blob([bytes(text('program'))]).stream().pipeThrough(new DecompressionStream('gzip'));
    const go = new Go();
    const {instance} = await WebAssembly.instantiateStreaming(
      new Response(wasm, {headers: {'Content-Type': 'application/wasm'}}), go.importObject);
    go.run(instance).finally(() => { ended = true; });
    const wrong = railbook.open(text('build'));
    if (wrong) throw new Error(wrong);
  }

  const started = start();
  const engine = {
    async state(settings) {
      await started;
      if (ended) throw new Error('the program has ended; open the page again');
      const reply = JSON.parse(railbook.handle(JSON.stringify({id: 1, settings})));
      if (reply.error) throw new Error(reply.error);
      return reply.state;
    },
  };

  // The address holds "boost=12&ethanol=42&apart=1": stops of sliders.
  function fromAddress() {
    const wanted = new URLSearchParams(location.hash.slice(1));
    const stops = {};
    for (const {id, stops: {length}} of description.sliders) {
      const stop = Number(wanted.get(id) ?? NaN);
      if (Number.isInteger(stop) && stop >= 0 && stop < length) stops[id] = stop;
    }
    const apart = wanted.has('apart');
    if (!apart && 'boost' in stops) delete stops.power;
    return apart ? {stops, apart} : {stops};
  }
  function toAddress({stops, apart}) {
    const address = new URLSearchParams(stops || {});
    if (apart) address.set('apart', 1);
    history.replaceState(null, '', '#' + address);
  }

  railbook.panel = railbookPanel(document.getElementById('what-if'), description, engine,
    {settings: fromAddress(), moved: toAddress});
})();
