// Nothing on the table yet: a picture or the hall's size begins it; the other can follow.

import {$, drawn, el} from './dom.js';
import {step} from './edits.js';
import {choosePicture} from './picture.js';
import {hasFloor, readOnly, state, watch} from './state.js';
import {parse, tidy, unit} from './units.js';
import {fit} from './view.js';

let sheet = null;

const SIZES = [['long', 'length', '72'], ['wide', 'width', '38'], ['high', 'height', '9.5']];

function begin(event) {
    event.preventDefault();
    const [long, wide, high] = SIZES.map(([name]) => parse(event.target.elements[name].value));
    if (![long, wide, high].every((value) => value > 0)) return;
    const outline = [[0, 0], [long, 0], [long, wide], [0, wide]].map((point) => point.map(tidy));
    step([{op: 'set', at: ['floor'], value: {outline, ceiling: tidy(high)}}]);
}

const sign = (d) => drawn('svg', {viewBox: '0 0 30 26', 'aria-hidden': 'true'}, drawn('path', {d}));

function make() {
    return el('div', {class: 'blank'}, el('form', {'aria-label': 'What shall go on the table?', on: {submit: begin}},
        el('h2', {}, 'What shall go on the table?'),
        el('p', {}, 'One of these is enough; the other can follow.'),
        el('ol', {},
            el('li', {}, sign('M5 5h13v13H5zM12 11h13v11H12z'),
                el('div', {}, 'A picture of the plan', el('small', {}, 'PNG, JPEG, SVG or a page of a PDF. You then mark two points whose distance you know.')),
                el('button', {type: 'button', class: 'btn', on: {click: choosePicture}}, 'Choose picture')),
            el('li', {}, sign('M5 7h20v14H5z'),
                el('div', {}, 'Its size', el('p', {class: 'sizes'}, ...SIZES.map(([name, words, hint]) =>
                    el('label', {}, `${words} `, el('input', {name, placeholder: hint, inputmode: 'decimal', autocomplete: 'off', required: true}), ` ${unit()}`)))),
                el('button', {class: 'btn strong'}, 'Begin')))));
}

function paint() {
    const wanted = Boolean(state.scene) && !hasFloor() && !readOnly() && !state.picture;
    if (wanted && !sheet) {
        sheet = make();
        $('plan').append(sheet);
    } else if (!wanted && sheet) {
        sheet.remove();
        sheet = null;
        fit();
    }
}

export function startBlank() {
    watch(['scene', 'file', 'view'], paint);
}
