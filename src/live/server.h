/* HTTP/1.1 on the loopback: one thread that waits for all connections at once. */
#ifndef AW_LIVE_SERVER_H
#define AW_LIVE_SERVER_H

#include "live/requests.h"

typedef struct aw_server aw_server;

/* Serves a plan at a port, 0: any. NULL with errors. */
aw_server *aw_server_start(aw_floor_plan *plan, uint16_t port, aw_errors *errors);
/* Replies that go on must have ended. */
void aw_server_stop(aw_server *server);

/* The address with the token. */
const char *aw_server_address(const aw_server *server);

#endif
