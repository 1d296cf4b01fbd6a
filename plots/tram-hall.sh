"$PROGRAM" chart scenarios/tram-hall.yaml --sheet A4 --quiet --out plots/tram-hall.svg
