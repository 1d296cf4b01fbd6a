/* A page of another origin can send a request here, but neither set the header that has the token
 * without asking first, which is refused, nor read what comes back. A name that was made to lead
 * here (rebinding) is told by Host. */
#include "live/guard.h"

#include <stdio.h>
#include <string.h>
#include <sys/random.h>

bool aw_guard_make(aw_guard *g)
{
    unsigned char random[(AW_TOKEN_ROOM - 1) / 2];
    if (getrandom(random, sizeof random, 0) != (ssize_t)sizeof random)
        return false;
    for (size_t i = 0; i < sizeof random; i++)
        snprintf(g->token + 2 * i, 3, "%02x", random[i]);
    return true;
}

void aw_guard_set_address(aw_guard *g, const char *address, uint16_t port)
{
    snprintf(g->host, sizeof g->host, "%s:%u", address, port);
    snprintf(g->origin, sizeof g->origin, "http://%s", g->host);
}

bool aw_guard_lets_in(const aw_guard *g, const char *host, const char *origin)
{
    return host != NULL && strcmp(host, g->host) == 0 &&
           (origin == NULL || strcmp(origin, g->origin) == 0);
}

bool aw_guard_knows(const aw_guard *g, const char *token)
{
    unsigned char differs = 0;
    if (token == NULL || strlen(token) != AW_TOKEN_ROOM - 1)
        return false;
    for (size_t i = 0; i < AW_TOKEN_ROOM - 1; i++)
        differs |= (unsigned char)(token[i] ^ g->token[i]);
    return differs == 0;
}
