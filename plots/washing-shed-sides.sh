"$PROGRAM" chart scenarios/washing-shed.yaml --sheet A4 --quiet --layer ambiguous_share --out plots/washing-shed-sides.svg
