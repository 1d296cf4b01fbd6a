// `?bench`: the page's own figures of how long an answer takes, from the pointer's event to the painted chart.
// The clock stops at a message posted in the frame's callback, which comes after layout and paint.

import {$, el, write} from './dom.js';
import {whenPainted} from './state.js';

const times = [];

export function quantile(values, share) {
    const sorted = [...values].sort((a, b) => a - b);
    return sorted.length ? sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] : NaN;
}

function show(board) {
    const words = times.length
        ? `${times.length} answers: median ${quantile(times, 0.5).toFixed(1)} ms, p95 ${quantile(times, 0.95).toFixed(1)} ms`
        : 'no answers yet';
    write(board, `First paint ${board.dataset.paint ?? '…'} ms, chart ${board.dataset.chart ?? '…'} ms after the request; ${words}`);
}

export function startBench() {
    if (!new URLSearchParams(location.search).has('bench')) return () => {};
    const board = el('output', {id: 'bench', class: 'bench', 'aria-label': 'Times of this page'});
    $('plan').append(board);
    whenPainted((cause) => {
        const channel = new MessageChannel();
        channel.port1.onmessage = () => {
            times.push(performance.now() - cause);
            board.dataset.times = JSON.stringify(times.slice(-2000));
            show(board);
        };
        channel.port2.postMessage(0);
    });
    board.addEventListener('click', () => {
        times.length = 0;
        show(board);
    });
    show(board);
    return (what) => {
        board.dataset[what] = performance.now().toFixed(0);
        show(board);
    };
}
