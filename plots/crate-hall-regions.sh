"$PROGRAM" freedom scenarios/crate-hall.yaml --sheet A4 --quiet --chart plots/crate-hall-regions.svg > /dev/null
