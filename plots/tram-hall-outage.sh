"$PROGRAM" outage scenarios/tram-hall.yaml --draws 200 --step 1 --sheet A4 --quiet --chart plots/tram-hall-outage.svg > /dev/null
