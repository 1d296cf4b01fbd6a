"$PROGRAM" chart scenarios/tram-hall.yaml --sheet A4 --quiet --spot 65,30 --out plots/bogie-corner.svg
