/* Reading rules: which keys they have. */
#ifndef AW_PLAN_RULE_KEYS_H
#define AW_PLAN_RULE_KEYS_H

#include "plan/rules.h"

/* One with nothing said; and one more for the list, false without memory. */
aw_rule aw_rule_empty(void);
bool aw_rule_add(aw_rules *rules, const aw_rule *rule);

#endif
