"$PROGRAM" sensitivity scenarios/crate-hall.yaml --sheet A4 --quiet --chart plots/crate-hall-bars.svg > /dev/null
