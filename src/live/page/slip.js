// A slip: a note laid on the chart, in the corner farthest from what it speaks of, moved by its heading.

import {$, button, el} from './dom.js';
import {focusAnchor} from './handles.js';
import {state, tell} from './state.js';
import {BORDER, X, Y, view} from './view.js';

let slip = null;
let left = null; // what is done when the slip is taken away

export const slipIs = (kind) => slip !== null && (kind === undefined || slip.dataset.kind === kind);

export function takeAway(focus = true) {
    if (!slip) return false;
    const after = left;
    slip.remove();
    slip = null;
    left = null;
    if (after) after();
    tell('hands');
    if (focus) focusAnchor();
    return true;
}

function corner(node, about) {
    const [wide, high] = [node.offsetWidth, node.offsetHeight];
    const [near, far] = [BORDER + 6, [view.width - BORDER - 6 - wide, view.height - BORDER - 6 - high]];
    if (!about) return [(view.width - wide) / 2, Math.max(near, (view.height - high) / 2.4)];
    const [x, y] = [X(about[0]), Y(about[1])];
    return [x > view.width / 2 ? near : Math.max(near, far[0]), y < view.height / 2 ? Math.max(near, far[1]) : near];
}

function byHeading(node, heading) {
    heading.addEventListener('pointerdown', (down) => {
        const [x, y] = [node.offsetLeft - down.clientX, node.offsetTop - down.clientY];
        heading.setPointerCapture(down.pointerId);
        const move = (event) => {
            node.style.left = `${Math.min(view.width - 60, Math.max(-node.offsetWidth + 60, x + event.clientX))}px`;
            node.style.top = `${Math.min(view.height - 40, Math.max(0, y + event.clientY))}px`;
        };
        const up = () => {
            heading.removeEventListener('pointermove', move);
            heading.removeEventListener('pointerup', up);
            heading.removeEventListener('pointercancel', up);
        };
        heading.addEventListener('pointermove', move);
        heading.addEventListener('pointerup', up);
        heading.addEventListener('pointercancel', up);
    });
}

// Lays a slip: `about` is a spot of the floor it should keep off, `grave` one that asks to be read first.
export function lay({kind, title, body, actions = [], about = null, grave = false, focus = grave, closed = null}) {
    takeAway(false);
    const heading = el('h2', {tabindex: -1, class: 'heading'}, title);
    slip = el('section', {class: `slip${grave ? ' grave' : ''}`, 'aria-label': title, 'data-kind': kind},
        heading,
        el('button', {type: 'button', class: 'away', 'aria-label': 'Take the slip away', on: {click: () => takeAway()}}, '×'),
        el('div', {class: 'body', tabindex: 0, role: 'group', 'aria-label': `${title}, text`}, ...body,
            actions.length ? el('p', {class: 'acts'}, ...actions.map(([words, act, strong]) => button(words, act, strong ? 'strong' : ''))) : null));
    left = closed;
    $('plan').append(slip);
    const [x, y] = corner(slip, about);
    slip.style.left = `${x}px`;
    slip.style.top = `${y}px`;
    byHeading(slip, heading);
    if (focus) heading.focus({preventScroll: true});
    return slip;
}

// Fields of a slip: name, what it is called, what it holds, choices if it is one of a few.
export function fields(rows) {
    const inputs = {};
    const lines = rows.map(({name, words, value, choices, unit}) => {
        const input = choices
            ? el('select', {name}, ...choices.map((choice) => el('option', {value: choice, selected: choice === value}, choice)))
            : el('input', {name, value, inputmode: unit ? 'decimal' : null, autocomplete: 'off', class: unit ? 'figure' : ''});
        inputs[name] = input;
        return el('label', {class: 'field'}, el('span', {}, words), input, unit ? el('span', {}, unit) : null);
    });
    return {lines, inputs, first: inputs[rows[0].name]};
}
