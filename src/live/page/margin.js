// The margin of the sheet: title and sentence, what was asked and reached, price, anchors in figures, log.

import {$, button, el, trait, write} from './dom.js';
import {chooseTag, go, step} from './edits.js';
import {place, removeAnchor, select} from './moves.js';
import {askSpot} from './spot.js';
import {anchorNamed, hasFloor, placeOf, readOnly, state, watch} from './state.js';
import {count, money, number, parse, unit} from './units.js';
import {show} from './view.js';

const STAMPS = {
    margin: ['margin', '✓ '], met: ['met', '✓ '], missed: ['missed', '✗ '], undecided: ['undecided', '? '], none: ['none', ''],
};

function headline() {
    if (!state.scene) return '';
    if (!hasFloor() && state.picture?.scaled) return 'Zone draws the floor’s outline on the picture: drag, or point by point; Enter ends.';
    if (!hasFloor()) return 'When the floor has an outline and three anchors, the chart begins.';
    const anchors = state.scene.anchors?.length ?? 0;
    if (anchors < 3) return `${count(3 - anchors, 'more anchor')}, and the chart begins.`;
    const said = state.answer?.headline ?? '';
    return !said || state.stands ? said : `By the first estimate: ${said}`;
}

function chosen(zone, answer) {
    if (zone.tag && zone.tag !== state.scene.tag) chooseTag(zone.tag);
    if (answer?.worst_at) {
        show(answer.worst_at);
        askSpot(answer.worst_at, zone.name);
    }
}

function makeZone(letter) {
    const item = el('li', {}, el('span', {class: 'letter', 'aria-hidden': 'true'}, letter),
        el('button', {type: 'button', class: 'name', on: {click: () => item.choose()}}), el('span', {class: 'stamp'}),
        el('p', {class: 'detail'}));
    return item;
}

// The part that decides stands first, by the program's words; it is set apart where the need is missed.
function detail(node, answer, zone) {
    const [first, ...rest] = (answer?.words ?? '').split('; ');
    const tag = zone.tag && zone.tag !== state.scene.tag ? ` (${zone.tag})` : '';
    const tail = (rest.length ? `; ${rest.join('; ')}` : '') + tag;
    const about = state.stands || !first ? '' : '≈ ';
    if (node.dataset.said === about + first + tail + answer?.mark) return;
    node.dataset.said = about + first + tail + answer?.mark;
    if (answer?.mark === 'missed') node.replaceChildren(el('b', {class: 'miss'}, `✗ ${about}${first}`), tail);
    else node.replaceChildren(about + first + tail);
}

function paintZones() {
    const list = $('zones');
    const zones = state.scene?.zones ?? [];
    while (list.children.length > zones.length) list.lastChild.remove();
    zones.forEach((zone, i) => {
        const item = list.children[i] ?? list.appendChild(makeZone(zone.letter));
        const answer = state.answer?.zones?.find((one) => one.name === zone.name);
        const [letter, name, stamp, text] = item.children;
        item.choose = () => chosen(zone, answer);
        write(letter, zone.letter);
        write(name, zone.name);
        const [kind, sign] = STAMPS[answer?.mark] ?? STAMPS.none;
        trait(item, 'class', kind);
        trait(stamp, 'class', `stamp ${kind}${state.stands ? '' : ' guess'}`);
        write(stamp, answer ? sign + answer.verdict : zone.need ? '…' : 'not asked');
        detail(text, answer, zone);
        trait(text, 'class', `detail${state.stands ? '' : ' estimate'}`);
    });
    trait($('no-need'), 'hidden', hasFloor() && !zones.some((zone) => zone.need) ? null : '');
}

function paintPrice() {
    const price = state.answer?.price;
    const anchors = state.scene?.anchors?.length ?? 0;
    const rows = [];
    if (price) {
        rows.push([`${count(anchors, 'anchor')} with cable and mounting`, `${money(price.total)} ${price.currency}`]);
        const more = Math.round(price.total - state.openedPrice);
        if (more) rows.push(['against the opened file', `${more > 0 ? '+' : ''}${money(more)} ${price.currency}`]);
    } else if (hasFloor()) {
        rows.push(['No prices in this file.', '']);
    } else {
        rows.push(['–', '']);
    }
    const said = JSON.stringify(rows);
    if ($('price').dataset.said === said) return;
    $('price').dataset.said = said;
    $('price').replaceChildren(...rows.map(([words, sum]) => el('p', {class: 'price'}, el('span', {}, words), el('b', {}, sum))));
}

const AXES = ['east', 'north', 'high'];

function field(anchor, axis) {
    return el('input', {
        value: number(placeOf(anchor)[axis], 2), inputmode: 'decimal', autocomplete: 'off', disabled: readOnly(),
        'data-field': `${anchor.name}/${AXES[axis]}`, 'aria-label': `${anchor.name} ${AXES[axis]}, ${unit()}`,
        on: {
            focus: () => select(anchor.name),
            change: (event) => {
                const value = parse(event.target.value);
                const at = [...placeOf(anchorNamed(anchor.name) ?? anchor)];
                if (value === null) {
                    event.target.value = number(at[axis], 2);
                    return;
                }
                at[axis] = axis === 2 ? Math.max(0, value) : value;
                place(anchor.name, at);
            },
        },
    });
}

function nameField(anchor) {
    return el('input', {
        class: 'name', value: anchor.name, autocomplete: 'off', disabled: readOnly(), 'data-field': `${anchor.name}/name`,
        'aria-label': `${anchor.name}, name`,
        on: {
            change: (event) => {
                const name = event.target.value.trim();
                if (name && name !== anchor.name) step([{op: 'rename', at: ['anchors', anchor.name], value: name}]);
                else event.target.value = anchor.name;
            },
        },
    });
}

function paintAnchors() {
    const anchors = state.scene?.anchors ?? [];
    write($('anchor-count'), `Anchors (${anchors.length})`);
    const focused = document.activeElement?.dataset?.field;
    const rows = anchors.map((anchor) => el('tr', {'data-row': anchor.name}, el('td', {}, nameField(anchor)),
        ...AXES.map((_, axis) => el('td', {}, field(anchor, axis))),
        el('td', {}, el('button', {type: 'button', class: 'away', disabled: readOnly(), 'aria-label': `Take ${anchor.name} away`,
            on: {click: () => removeAnchor(anchor.name)}}, '×'))));
    $('anchor-table').replaceChildren(el('table', {class: 'figures'},
        el('thead', {}, el('tr', {}, el('th', {scope: 'col'}, 'name'), ...AXES.map((words) => el('th', {scope: 'col'}, `${words} ${unit()}`)), el('td'))),
        el('tbody', {}, ...rows)));
    if (focused) $('anchor-table').querySelector(`[data-field="${CSS.escape(focused)}"]`)?.focus();
}

// Places that change under the hand are written into the fields that stand.
function followHand() {
    for (const [name, at] of state.held) {
        at.forEach((value, axis) => {
            const input = $('anchor-table').querySelector(`[data-field="${CSS.escape(`${name}/${AXES[axis]}`)}"]`);
            if (input && input !== document.activeElement) input.value = number(value, 2);
        });
    }
}

function paintLog() {
    const {scene} = state;
    if (!scene) return;
    const steps = [{step: 0, words: scene.file?.exists === false ? 'An empty sheet' : `Opened ${scene.file?.name ?? ''}`}, ...(scene.log ?? [])];
    $('log').replaceChildren(...steps.reverse().map(({step: at, words}) => el('li',
        {class: at > scene.steps ? 'ahead' : null, 'aria-current': at === scene.steps ? 'step' : null},
        button(words, () => go(at), 'plain'))));
}

function paint(topics) {
    write($('title'), hasFloor() ? state.scene.title : state.scene ? 'Nothing on the table yet' : '…');
    if (hasFloor()) document.title = `${state.scene.title} – anchorwise`;
    write($('lead'), headline());
    paintZones();
    paintPrice();
    if (topics.has('scene') || topics.has('file')) {
        paintAnchors();
        paintLog();
    }
}

export function startMargin() {
    watch(['scene', 'answer', 'file'], paint);
    watch(['hands'], followHand);
}
