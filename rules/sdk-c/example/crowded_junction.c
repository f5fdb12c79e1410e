/* A house rule in C: more cable ends meet in a junction than our connectors take. */
#include "rule_module.h"
#include <stdlib.h>
#include <string.h>

/* Our gel connectors take four cables. */
static const double MOST_ENDS = 4;

static rule_module_string_t text(const char *literal) {
  return (rule_module_string_t){(uint8_t *)literal, strlen(literal)};
}

static bool same(rule_module_string_t a, const char *b) {
  return a.len == strlen(b) && memcmp(a.ptr, b, a.len) == 0;
}

/* Texts put together piece by piece. */
static rule_module_string_t join(rule_module_string_t a, rule_module_string_t b) {
  uint8_t *both = malloc(a.len + b.len);
  memcpy(both, a.ptr, a.len);
  memcpy(both + a.len, b.ptr, b.len);
  return (rule_module_string_t){both, a.len + b.len};
}

static rule_module_string_t count(uint32_t number) {
  uint8_t *digits = malloc(10);
  size_t length = 0;
  for (uint32_t rest = number; length == 0 || rest > 0; rest /= 10) {
    length++;
  }
  for (size_t at = length; at > 0; at--, number /= 10) {
    digits[at - 1] = (uint8_t)('0' + number % 10);
  }
  return (rule_module_string_t){digits, length};
}

void exports_rule_module_describe(rule_module_module_description_t *ret) {
  lintern_rules_report_setting_description_t *setting = calloc(1, sizeof *setting);
  setting->name = text("most");
  setting->summary = text("cable ends that a connector takes");
  setting->unit = text("ends");
  setting->default_.is_some = true;
  setting->default_.val.tag = LINTERN_RULES_REPORT_SETTING_VALUE_NUMBER;
  setting->default_.val.val.number = MOST_ENDS;
  setting->tighter = LINTERN_RULES_REPORT_TIGHTER_SMALLER;

  lintern_rules_report_rule_description_t *rule = calloc(1, sizeof *rule);
  rule->id = text("crew/crowded-junction");
  rule->title = text("More cable ends meet in a junction than our connectors take");
  rule->level = LINTERN_RULES_TYPES_LEVEL_ADVICE;
  rule->waivable = true;
  rule->settings.ptr = setting;
  rule->settings.len = 1;
  rule->documentation = text("# More cable ends meet in a junction than our connectors take\n\n"
                             "Every end of a cable segment at a junction counts as one.\n");

  ret->name = text("crew");
  ret->version = text("1.0.0");
  ret->rules.ptr = rule;
  ret->rules.len = 1;
}

/* The company's number where it is stricter, or comes with a reason. */
static double limit(const lintern_rules_report_rule_request_t *request) {
  double most = MOST_ENDS;
  bool own = true;
  for (size_t i = 0; i < request->settings.len; i++) {
    const lintern_rules_report_setting_t *setting = &request->settings.ptr[i];
    if (same(setting->name, "most") && setting->value.tag == LINTERN_RULES_REPORT_SETTING_VALUE_NUMBER &&
        (own || setting->replaces || setting->value.val.number < most)) {
      most = setting->value.val.number;
      own = false;
    }
  }
  return most;
}

static uint32_t ends_at(const lintern_rules_plan_list_run_t *runs, uint32_t junction) {
  uint32_t ends = 0;
  for (size_t r = 0; r < runs->len; r++) {
    for (size_t s = 0; s < runs->ptr[r].segments.len; s++) {
      const lintern_rules_plan_segment_t *segment = &runs->ptr[r].segments.ptr[s];
      const lintern_rules_plan_node_ref_t *nodes[] = {&segment->start, &segment->end};
      for (int n = 0; n < 2; n++) {
        ends += nodes[n]->tag == LINTERN_RULES_TYPES_NODE_REF_JUNCTION && nodes[n]->val.junction == junction;
      }
    }
  }
  return ends;
}

static void check(const lintern_rules_report_rule_request_t *request, lintern_rules_report_rule_result_t *result) {
  lintern_rules_plan_list_junction_t junctions;
  lintern_rules_plan_list_run_t runs;
  lintern_rules_plan_junctions(&junctions);
  lintern_rules_plan_runs(&runs);
  double most = limit(request);
  result->id = request->id;
  result->checked = (uint32_t)junctions.len;
  result->findings.ptr = calloc(junctions.len, sizeof *result->findings.ptr);
  result->margins.ptr = calloc(junctions.len, sizeof *result->margins.ptr);
  for (uint32_t j = 0; j < junctions.len; j++) {
    uint32_t ends = ends_at(&runs, j);
    rule_module_string_t id = junctions.ptr[j].id;
    if (request->wants_margins) {
      lintern_rules_report_margin_t *margin = &result->margins.ptr[result->margins.len++];
      margin->subject = id;
      margin->name = text("cable ends in a junction");
      margin->measured = ends;
      margin->limit = most;
      margin->unit = text("ends");
      margin->source = text("house rule");
      margin->tighter = LINTERN_RULES_REPORT_TIGHTER_SMALLER;
      margin->passes = ends <= most;
    }
    if (ends <= most) {
      continue;
    }
    lintern_rules_report_finding_t *finding = &result->findings.ptr[result->findings.len++];
    finding->subject = id;
    finding->message = join(join(id, text(" joins ")), join(count(ends), text(" cable ends")));
    finding->measured.is_some = true;
    finding->measured.val.value = ends;
    finding->measured.val.unit = text("ends");
    finding->limit.is_some = true;
    finding->limit.val.value = most;
    finding->limit.val.unit = text("ends");
    finding->basis.kind = LINTERN_RULES_REPORT_BASIS_KIND_PRACTICE;
    finding->help = text("divide the junction, or loop a run through");
  }
}

void exports_rule_module_check(rule_module_list_rule_request_t *rules, rule_module_list_rule_result_t *ret) {
  ret->ptr = calloc(rules->len, sizeof *ret->ptr);
  ret->len = rules->len;
  for (size_t i = 0; i < rules->len; i++) {
    check(&rules->ptr[i], &ret->ptr[i]);
  }
}
