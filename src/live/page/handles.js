// Anchors as handles in SVG: they take focus, hands and keys; the canvas below takes none.

import {$, drawn, trait, write} from './dom.js';
import {anchorWords, isSmall, turnsDown, turnsLeft} from './labels.js';
import {commonHeight} from './moves.js';
import {placeOf, state, watch} from './state.js';
import {number, unitWord} from './units.js';
import {X, Y, within} from './view.js';

const group = $('anchors');
const nodes = new Map();

function make(name) {
    const node = drawn('g', {class: 'anchor', role: 'button', 'data-name': name},
        drawn('circle', {class: 'reach', r: 20}),
        drawn('path', {class: 'rays', d: 'M-9.5-9.5-6-6M9.5-9.5 6-6M-9.5 9.5-6 6M9.5 9.5 6 6'}),
        drawn('circle', {class: 'ring', r: 6.5}),
        drawn('circle', {class: 'dot', r: 2.4}),
        drawn('path', {class: 'corners', d: 'M-13-7v-6h6M13-7v-6h-6M-13 7v6h6M13 7v6h-6'}),
        drawn('text', {}));
    nodes.set(name, node);
    group.append(node);
    return node;
}

// What is spoken holds what is written, in its order.
function labelOf(words, name, at) {
    const high = `${number(at[2])} ${unitWord()} high`;
    const place = `${number(at[0])} east, ${number(at[1])} north`;
    return words && words !== name ? `Anchor ${name} ${high}, ${place}` : `Anchor ${name}, ${place}, ${high}`;
}

function placeText(text, x, y) {
    trait(text, 'x', turnsLeft(x) ? -13 : 13);
    trait(text, 'y', turnsDown(y) ? 16 : -5);
    trait(text, 'text-anchor', turnsLeft(x) ? 'end' : 'start');
}

function paintOne(anchor, first, usual) {
    const node = nodes.get(anchor.name) ?? make(anchor.name);
    const at = placeOf(anchor);
    const [x, y] = [X(at[0]), Y(at[1])];
    const on = state.selected === anchor.name;
    trait(node, 'transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    trait(node, 'class', `anchor${on ? ' on' : ''}${isSmall() ? ' small' : ''}${within(x, y, 4) ? '' : ' outside'}${state.ringed === `anchors.${anchor.name}` ? ' wrong' : ''}`);
    trait(node, 'tabindex', on || (first && !state.selected) ? 0 : -1);
    const words = anchorWords(anchor, usual);
    trait(node, 'aria-label', labelOf(words, anchor.name, at));
    trait(node, 'aria-pressed', on);
    write(node.lastChild, words);
    placeText(node.lastChild, x, y);
}

function paint() {
    const anchors = state.scene?.anchors ?? [];
    const wanted = new Set(anchors.map((anchor) => anchor.name));
    for (const [name, node] of nodes) {
        if (!wanted.has(name)) {
            node.remove();
            nodes.delete(name);
        }
    }
    const usual = commonHeight();
    anchors.forEach((anchor, i) => paintOne(anchor, i === 0, usual));
}

export function focusAnchor(name = state.selected ?? state.scene?.anchors?.[0]?.name) {
    (nodes.get(name) ?? $('overlay')).focus({preventScroll: true});
}

export const anchorUnder = (target) => target.closest?.('g.anchor')?.dataset.name ?? null;

export function startHandles() {
    watch(['scene', 'view', 'hands'], paint);
}
