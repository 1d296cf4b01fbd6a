/* Who may ask: who has the token, and came by the address that is served. */
#ifndef AW_LIVE_GUARD_H
#define AW_LIVE_GUARD_H

#include <stdbool.h>
#include <stdint.h>

#define AW_TOKEN_ROOM 33 /* 128 bits as hexadecimal digits */

typedef struct aw_guard {
    char token[AW_TOKEN_ROOM];
    char host[64];   /* "127.0.0.1:8123" */
    char origin[80]; /* "http://127.0.0.1:8123" */
} aw_guard;

/* A fresh token. False if the system has no random numbers. */
bool aw_guard_make(aw_guard *guard);
/* The address, once it is known. */
void aw_guard_set_address(aw_guard *guard, const char *address, uint16_t port);

/* Headers as they came, NULL if not. A request for something public needs no token; a wrong one
 * takes as long as the right one. */
bool aw_guard_lets_in(const aw_guard *guard, const char *host, const char *origin);
bool aw_guard_knows(const aw_guard *guard, const char *token);

#endif
