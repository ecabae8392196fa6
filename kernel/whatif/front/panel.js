// The what-if panel: sliders, and what they do to a fuel system.
//
//   railbookPanel(root, description, engine, options)
//
// root         element with an id, that the panel is built in, in place of what it holds
// description  what Go's whatif.Description is as JSON
// engine       {state(settings)}: a promise of the state at whatif.Settings
// options      settings: where the sliders stand at first
//              moved(settings): told of every move
//              level: of its first heading, 1 where not given
//
// It returns {idle()}, a promise of the time when all moves so far are answered and shown.
const railbookPanel = (() => {
  'use strict';
  const {html, svg, amount, words, axis, hatch} = railbookDraw;

  return function panel(root, description, engine, options = {}) {
    const {id} = root;
    const pattern = `${id}-hatch`;
    const start = description.start;
    const level = options.level || 1;
    let settings = options.settings || {};
    const stops = () => settings.stops || {};
    const heading = (below, text) => html(`h${level + below}`, {}, text);

    // One question is asked at a time; of the moves meanwhile the last one counts.
    let asking = false, again = false, touched = false, waiting = [];
    async function ask() {
      again = asking;
      if (asking) return;
      asking = true;
      try {
        do {
          again = false;
          const asked = settings;
          const state = await engine.state(asked);
          if (!again) show(state);
        } while (again);
        root.dataset.state = 'ready';
      } catch (error) {
        root.dataset.state = 'broken';
        notice.textContent = `The sliders do not work: ${error.message}.`;
        notice.hidden = false;
      } finally {
        asking = false;
        waiting.splice(0).forEach(done => done());
      }
    }

    function move(changed) {
      settings = changed;
      touched = true;
      stand();
      ask();
      options.moved?.(settings);
    }

    // to moves a slider. Boost and power move each other unless they are apart, so that one
    // takes the other's setting away.
    function to(name, stop) {
      const moved = {...stops(), [name]: stop};
      const partner = {boost: 'power', power: 'boost'}[name];
      if (partner && !settings.apart) delete moved[partner];
      const slider = description.sliders.find(s => s.id === name);
      if (stop === slider.home && !slider.computed) delete moved[name];
      move({...settings, stops: moved});
    }

    const controls = description.sliders.map(control);

    function control(slider) {
      const name = `${id}-${slider.id}`;
      const last = slider.stops.length - 1;
      const value = html('output', {for: name, class: 'rbw-value'});
      const change = html('span', {class: 'rbw-change'});
      const input = html('input', {
        type: 'range', id: name, min: 0, max: last, step: 1, value: slider.home, autocomplete: 'off', 'aria-describedby': `${name}-range`,
        input: () => to(slider.id, input.valueAsNumber),
      });
      const nudge = (by, sign, word) => html('button', {
        type: 'button', tabindex: -1, 'aria-label': `${slider.name} ${word}`,
        click: () => to(slider.id, Math.min(Math.max(input.valueAsNumber + by, 0), last)),
      }, sign);
      const element = html('div', {class: 'rbw-slider'},
        html('div', {class: 'rbw-head'}, html('label', {for: name}, slider.name), value),
        html('div', {class: 'rbw-track'}, nudge(-1, '−', 'down a step'),
          html('div', {class: 'rbw-scale'}, input, ruler(slider)), nudge(1, '+', 'up a step')),
        html('p', {class: 'rbw-facts'}, change, html('span', {id: `${name}-range`}, slider.range)));
      // at shows a value, and what it was in the sheet.
      const at = (stop, shown, moved) => {
        input.value = stop;
        input.setAttribute('aria-valuetext', words(shown) + (moved === 'follows' ? ', follows' : ''));
        element.dataset.moved = moved;
        value.replaceChildren(...amount(shown).filter(Boolean));
        change.textContent = moved ? `${slider.stops[slider.home].text} → ${shown.text}${moved === 'follows' ? ', follows' : ''}.` : '';
      };
      return {element, at, slider};
    }

    // ruler is the scale under a slider, with the sheet's value marked.
    function ruler(slider) {
      const place = stop => (100 * stop / Math.max(slider.stops.length - 1, 1)).toFixed(3) + '%';
      const line = (stop, length) => svg('line', {x1: place(stop), x2: place(stop), y1: 6, y2: 6 + length});
      const gaps = slider.marks.slice(1).map((mark, i) => mark.stop - slider.marks[i].stop);
      const minor = gaps.flatMap((gap, i) => {
        const parts = 5 * Math.round(gap / Math.min(...gaps)); // more where a mark is left out
        return Array.from({length: parts - 1}, (_, k) => line(slider.marks[i].stop + gap * (k + 1) / parts, 3));
      });
      return svg('svg', {class: 'rbw-ruler', 'aria-hidden': 'true', focusable: 'false'},
        minor, slider.marks.map(mark => [line(mark.stop, 6), svg('text', {x: place(mark.stop), y: 23, 'text-anchor': 'middle'}, mark.text)]),
        svg('svg', {x: place(slider.home), y: 0, overflow: 'visible'}, svg('path', {class: 'rbw-home', d: 'M0 7 L-4.5 0 L4.5 0 Z'})));
    }

    // stand shows at once where the sliders were moved; what follows comes with the answer.
    function stand() {
      for (const {slider, at} of controls) {
        const stop = stops()[slider.id];
        if (stop !== undefined) at(stop, slider.stops[stop], 'set');
      }
      apart.checked = !!settings.apart;
    }

    const apart = html('input', {
      type: 'checkbox', id: `${id}-apart`, autocomplete: 'off', 'aria-describedby': `${id}-apart-about`,
      change: () => {
        const {power, ...others} = stops();
        // Together again, boost leads.
        const kept = apart.checked || others.boost === undefined ? stops() : others;
        move({stops: kept, ...(apart.checked ? {apart: true} : {})});
      },
    });
    const reset = html('button', {type: 'button', class: 'rbw-reset', click: () => move({})}, 'Back to the sheet');

    const cluster = html('dl', {class: 'rbw-cluster'});
    const verdict = html('p', {class: 'rbw-verdict'});
    const changes = html('p', {class: 'rbw-changes'});
    const notice = html('p', {class: 'rbw-notice', role: 'alert', hidden: true});
    const spoken = html('p', {class: 'rbw-hidden', role: 'status', 'aria-live': 'polite'});
    const readings = html('dl', {class: 'rbw-readings'});
    const bars = () => html('ol', {class: 'rbw-bars'});
    const powered = bars(), still = bars(), routes = bars(), duties = bars();
    const target = html('p', {class: 'rbw-key'}), spread = html('p', {class: 'rbw-key'});
    const stillPart = html('div', {}, heading(2, 'Parts that do not depend on power'),
      html('p', {class: 'rbw-key'}, 'The bar is what a part has to do, as a share of what it can, which is the line.'), still);
    const warnings = html('ul', {class: 'rbw-remarks'}), fire = html('ul', {class: 'rbw-remarks'}), sources = html('p', {class: 'rbw-facts'});
    const tables = html('div', {class: 'rbw-tables'});
    const assumed = html('ol', {class: 'rbw-remarks'});
    const folded = (summary, content) => html('details', {toggle: unfold}, html('summary', {}, summary), content);
    const numbers = folded('All numbers of injection, delivery and supply', tables);
    const assumptions = folded('What is assumed', assumed);
    const results = html('div', {class: 'rbw-results'},
      readings,
      html('section', {}, heading(1, 'The power at which each part runs out'), target, powered, axis(description.power), stillPart),
      html('section', {}, heading(1, 'Injectors'), duties, axis(description.duty)),
      html('section', {}, heading(1, 'Fuel demand by three routes'), spread, routes, axis(description.flow)),
      html('section', {}, heading(1, 'What to know'), warnings),
      html('section', {}, heading(1, 'Fire data of this fuel'), fire, sources),
      assumptions, numbers);

    root.classList.add('rbw');
    root.replaceChildren(
      html('header', {class: 'rbw-block'}, heading(0, description.title),
        html('dl', {}, description.facts.map(f => html('div', {}, html('dt', {}, f.name), html('dd', {}, f.text))))),
      cluster, notice, spoken,
      html('div', {class: 'rbw-bench'},
        html('div', {class: 'rbw-said'}, verdict, changes),
        html('section', {class: 'rbw-controls'}, html('div', {class: 'rbw-head'}, heading(1, 'What if'), reset),
          controls.map(c => c.element),
          html('div', {class: 'rbw-apart'}, apart, html('label', {for: `${id}-apart`}, description.apart.name),
            html('p', {id: `${id}-apart-about`, class: 'rbw-facts'}, description.apart.about))),
        results),
      html('p', {class: 'rbw-caution'}, html('strong', {}, 'Caution. '), description.caution),
      hatch(pattern));

    let timer;
    function show(state) {
      controls.forEach(({at}, i) => at(state.values[i].stop, state.values[i], state.values[i].moved));
      changes.textContent = state.changes.length ? `Changed from the sheet: ${state.changes.join('; ')}.` : 'This is the sheet as it is.';
      notice.hidden = true;
      const answered = !state.refused;
      root.dataset.answer = answered ? 'yes' : 'no';
      if (answered) draw(state);
      verdict.textContent = answered ? state.verdict : `The model has no answer here: ${state.refused}.`;
      clearTimeout(timer);
      if (!touched) return;
      timer = setTimeout(() => { // said when the slider rests
        spoken.textContent = `${verdict.textContent} ${changes.textContent}`;
      }, 600);
    }

    function draw(state) {
      const of = draws => draws(state, description, start, pattern);
      const part = of(railbookDraw.parts);
      cluster.replaceChildren(...railbookDraw.cluster(state));
      readings.replaceChildren(...railbookDraw.readings(state));
      target.replaceChildren(html('span', {class: 'rbw-target-key'}), `target ${words(state.power)}; solid as far as the margin asked for is kept, hatched as far as it carries`,
        html('span', {class: 'rbw-sheet-key'}), 'the sheet');
      powered.replaceChildren(...part.powered);
      still.replaceChildren(...part.still);
      stillPart.hidden = part.still.length === 0;
      duties.replaceChildren(...of(railbookDraw.duties));
      spread.textContent = `The highest route lies ${state.spread} over the lowest.`;
      routes.replaceChildren(...of(railbookDraw.routes));
      warnings.replaceChildren(...railbookDraw.warnings(state));
      fire.replaceChildren(...railbookDraw.fire(state));
      sources.textContent = state.sources.length ? `Sources: ${state.sources.join('; ')}.` : '';
      drawn = state;
      unfold();
    }

    // unfold fills what is unfolded with the last state.
    let drawn;
    function unfold() {
      if (numbers.open) tables.replaceChildren(...drawn.tables.map(railbookDraw.table));
      if (assumptions.open) assumed.replaceChildren(...railbookDraw.assumed(drawn));
    }

    show(start);
    stand();
    ask();
    return {idle: () => new Promise(done => asking ? waiting.push(done) : done())};
  };
})();
