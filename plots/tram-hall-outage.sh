"$PROGRAM" outage scenarios/tram-hall.yaml --sheet A4 --quiet --chart plots/tram-hall-outage.svg > /dev/null
