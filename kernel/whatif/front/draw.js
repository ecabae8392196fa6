// What the what-if panel shows of a state, as elements. Nothing is computed here: texts
// come as they are to be shown, and raw numbers only place the ends of bars. Text enters
// as text, never as markup.
const railbookDraw = (() => {
  'use strict';

  const build = namespace => (name, attributes, ...children) => {
    const element = document.createElementNS(namespace, name);
    for (const [key, value] of Object.entries(attributes || {})) {
      if (typeof value === 'function') element.addEventListener(key, value);
      else if (value !== undefined && value !== false) element.setAttribute(key, value === true ? '' : value);
    }
    element.append(...children.flat(3).filter(child => child !== undefined && child !== ''));
    return element;
  };
  const html = build('http://www.w3.org/1999/xhtml');
  const svg = build('http://www.w3.org/2000/svg');

  // percent places a value on an axis from 0 to end, at its end if it lies beyond.
  const percent = (value, end) => (100 * Math.min(Math.max(value / end, 0), 1)).toFixed(3) + '%';

  // amount is a quantity in the sheet's units, and in the others in small.
  const amount = (a, name = 'b') => [html(name, {}, a.text), a.other ? html('small', {}, a.other) : ''];
  const words = a => a.other ? `${a.text} (${a.other})` : a.text;

  // upright is a line across a bar.
  const upright = (name, value, end) =>
    svg('line', {class: name, x1: percent(value, end), x2: percent(value, end), y1: 0, y2: '100%'});

  // lane is a bar on an axis: filled as far as sure, hatched from there to the end, with
  // an arrow where it goes on, and lines across it.
  function lane(axis, end, sure, lines, pattern) {
    const beyond = end > axis.end;
    return svg('svg', {class: 'rbw-lane', 'aria-hidden': 'true', focusable: 'false'},
      axis.ticks.map(tick => upright('rbw-grid', tick.at, axis.end)),
      svg('rect', {class: 'rbw-sure', x: 0, y: 5, height: 12, width: percent(sure, axis.end)}),
      end > sure ? svg('rect', {
        class: 'rbw-edge', fill: `url(#${pattern})`, x: percent(sure, axis.end), y: 5.5, height: 11,
        width: (parseFloat(percent(end, axis.end)) - parseFloat(percent(sure, axis.end))).toFixed(3) + '%',
      }) : '',
      beyond ? svg('svg', {x: '100%', y: 0, overflow: 'visible'}, svg('path', {class: 'rbw-beyond', d: 'M-7 4 L-1 11 L-7 18'})) : '',
      lines.filter(line => line.at > 0).map(line => upright(line.name, line.at, axis.end)));
  }

  // axis is the scale under the lanes.
  function axis(scale) {
    const anchor = i => i === 0 ? 'start' : i === scale.ticks.length - 1 && scale.ticks[i].at > 0.95 * scale.end ? 'end' : 'middle';
    return svg('svg', {class: 'rbw-axis', 'aria-hidden': 'true', focusable: 'false'},
      svg('line', {class: 'rbw-rule', x1: 0, x2: '100%', y1: 0.5, y2: 0.5}),
      scale.ticks.map((tick, i) => [
        svg('line', {class: 'rbw-rule', x1: percent(tick.at, scale.end), x2: percent(tick.at, scale.end), y1: 0, y2: 5}),
        svg('text', {class: i % 2 ? 'rbw-odd' : '', x: percent(tick.at, scale.end), y: 17, 'text-anchor': anchor(i)},
          tick.text + (i === scale.ticks.length - 1 && scale.unit ? ' ' + scale.unit : '')),
      ]));
  }

  // hatch is the pattern of a bar's uncertain end.
  const hatch = id => svg('svg', {class: 'rbw-patterns', 'aria-hidden': 'true'}, svg('defs', {},
    svg('pattern', {id, width: 5, height: 5, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)'},
      svg('rect', {class: 'rbw-hatch', width: 2, height: 5}))));

  const status = (symbol, word) => html('span', {class: `rbw-status rbw-${word}`},
    html('span', {'aria-hidden': 'true'}, symbol), ' ' + word);

  // cluster is the three numbers that stay in sight.
  function cluster(state) {
    const first = state.readings.find(r => r.name === 'Gives out first');
    const duty = state.duties[0];
    const cell = (name, value, note) => html('div', {}, html('dt', {}, name), html('dd', {}, value, html('small', {}, note)));
    return [
      cell('The system', status(state.symbol, state.status), `${state.power.text} on ${state.fuel}`),
      cell(first.name, html('b', {}, first.text), first.note),
      cell(duty.name, html('b', {class: duty.over ? 'rbw-short' : ''}, duty.text), (duty.over ? 'over the ' : 'of the ') + duty.allowed + ' allowed'),
    ];
  }

  // readings are the other numbers that say much.
  const readings = state => state.readings.filter(r => r.name !== 'Gives out first').map(r =>
    html('div', {}, html('dt', {}, r.name), html('dd', {}, amount(r), html('span', {class: 'rbw-note'}, r.note))));

  // row is one line of a list of bars: a heading with a number at its end, the bar, and
  // what else there is to say.
  const row = (kind, name, value, bar, facts) => html('li', {class: kind},
    html('div', {class: 'rbw-head'}, html('span', {class: 'rbw-name'}, name), html('span', {class: 'rbw-value'}, value)),
    bar, html('p', {class: 'rbw-facts'}, facts));

  // fact is a word and what it stands for.
  const fact = (name, ...value) => html('span', {class: 'rbw-fact'}, name + ' ', value);

  // parts are the bars of the parts: on the axis of power those that run out at one, and
  // on a scale of their own those that do not.
  function parts(state, scales, start, pattern) {
    const sheet = kind => start.parts.find(p => p.kind === kind);
    const facts = p => [
      status(p.symbol, p.status), fact('margin', html('b', {}, p.margin)), fact('wanted', p.wanted),
      p.limited ? fact('kept up to', words(p.keeps)) : '',
      fact('can carry', words(p.can)), fact('has to carry', words(p.has)),
    ];
    const powered = state.parts.filter(p => p.limited).map(p => row(`rbw-${p.status}`, p.title,
      [p.first ? html('em', {}, 'first') : '', 'runs out at ', amount(p.limit)],
      lane(scales.power, p.raw_limit, p.raw_keeps, [
        {name: 'rbw-sheet', at: sheet(p.kind)?.raw_limit}, {name: 'rbw-target', at: state.raw_power},
      ], pattern), facts(p)));
    const used = {end: 1.25, ticks: [{at: 1}], unit: ''};
    const still = state.parts.filter(p => !p.limited).map(p => row(`rbw-${p.status}`, p.title,
      ['margin ', html('b', {}, p.margin)],
      lane(used, p.raw_share, p.raw_share, [{name: 'rbw-target', at: 1}], pattern), facts(p)));
    return {powered, still};
  }

  // routes are the bars of the demand.
  const routes = (state, scales, start, pattern) => state.demand.map((r, i) => row(
    r.governs ? 'rbw-governs' : '', r.name,
    [r.governs ? html('em', {}, 'governs') : '', amount(r.mass)],
    r.raw ? lane(scales.flow, r.raw, r.raw, [{name: 'rbw-sheet', at: start.demand[i]?.raw}], pattern) : '',
    [fact('by volume', words(r.volume)), r.bsfc.text ? fact('BSFC', words(r.bsfc)) : '', r.governs || !r.note ? '' : fact(r.note)]));

  // duties are the bars of the injectors' duty.
  const duties = (state, scales, start, pattern) => state.duties.map((d, i) => row(
    d.over ? 'rbw-short' : 'rbw-carries', d.name, html('b', {}, d.text),
    lane(scales.duty, d.raw, d.raw, [{name: 'rbw-sheet', at: start.duties[i]?.raw}, {name: 'rbw-target', at: d.raw_most}], pattern),
    [fact(d.over ? 'over the largest allowed,' : 'largest allowed', d.allowed)]));

  const table = t => html('table', {}, html('caption', {}, t.caption), html('tbody', {}, t.rows.map(r =>
    html('tr', {}, html('th', {scope: 'row'}, r.name), r.cells.map(c => html('td', {}, amount(c, 'span')))))));

  const warnings = state => state.warnings.map(w => html('li', {class: w.grave ? 'rbw-grave' : ''},
    html('strong', {}, w.grave ? 'Caution. ' : 'Note. '), w.text));

  const assumed = state => state.assumed.map(text => html('li', {}, text));

  const fire = state => state.fire.map(f => html('li', {}, html('strong', {}, `${f.name}, ${f.share}: `),
    `flash point ${words(f.flash)}; its vapour burns in air from ${f.range}` + (f.class ? `; NFPA 30 class ${f.class}.` : '.')));

  return {html, svg, amount, words, axis, hatch, cluster, readings, parts, routes, duties, table, warnings, assumed, fire};
})();
