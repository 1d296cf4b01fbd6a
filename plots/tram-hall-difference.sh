"$PROGRAM" compare scenarios/tram-hall.yaml scenarios/tram-hall-bogie.yaml --sheet A4 --quiet --chart plots/tram-hall-difference.svg > /dev/null
